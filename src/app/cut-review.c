/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "config.h"

#include "cut-review.h"

#include <glib/gi18n.h>

#include "still-view.h"

struct _RbCutReview {
    GtkBox parent_instance;
    GtkLabel *says;
    RbStillView *before;
    RbStillView *after;
};

G_DEFINE_FINAL_TYPE(RbCutReview, rb_cut_review, GTK_TYPE_BOX)

static void rb_cut_review_class_init(RbCutReviewClass *klass)
{
    (void)klass;
}

static void rb_cut_review_init(RbCutReview *review)
{
    GtkWidget *says = gtk_label_new("");
    GtkWidget *before = rb_still_view_new();
    GtkWidget *after = rb_still_view_new();
    review->says = GTK_LABEL(says);
    review->before = RB_STILL_VIEW(before);
    review->after = RB_STILL_VIEW(after);
    gtk_box_set_spacing(GTK_BOX(review), 10);
    gtk_label_set_wrap(review->says, true);
    gtk_label_set_xalign(review->says, 0.0F);
    gtk_label_set_width_chars(review->says, 30);
    gtk_label_set_max_width_chars(review->says, 30);
    gtk_widget_set_valign(says, GTK_ALIGN_START);
    gtk_widget_set_hexpand(says, true);
    gtk_box_append(GTK_BOX(review), before);
    gtk_box_append(GTK_BOX(review), after);
    gtk_box_append(GTK_BOX(review), says);
    gtk_widget_set_visible(GTK_WIDGET(review), false);
}

GtkWidget *rb_cut_review_new(void)
{
    return g_object_new(RB_TYPE_CUT_REVIEW, NULL);
}

static void show_side(RbStillView *view, const char *film, int64_t frame,
                      const char *format)
{
    g_autofree char *number = g_strdup_printf("%" G_GINT64_FORMAT, frame);
    GString *words = g_string_new(format);
    g_string_replace(words, "%s", number, 1);
    rb_still_view_show(view, film, frame, words->str);
    g_string_free(words, TRUE);
}

void rb_cut_review_show(RbCutReview *review, const RbIntake *intake, int cut)
{
    g_return_if_fail(RB_IS_CUT_REVIEW(review));
    gtk_widget_set_visible(GTK_WIDGET(review), cut >= 0);
    if (cut < 0) {
        rb_still_view_show(review->before, NULL, -1, NULL);
        rb_still_view_show(review->after, NULL, -1, NULL);
        return;
    }
    const RbIntakeClip *clip = intake->clips->pdata[cut];
    const RbIntakeFile *file = intake->files->pdata[clip->file];
    show_side(review->before, file->look->path, clip->first - 1,
              _("Before: frame %s, the last"));
    show_side(review->after, file->look->path, clip->first,
              _("After: frame %s, the first"));
    g_autofree char *says = g_strdup_printf(
        _("Was the camera stopped between these two? The finder is %.0f %% "
          "sure (%s).\n\nY: it was, and a new clip starts.\nJ: it was not, "
          "and the two clips become one.\nM: elsewhere; move it.\nN: to the next "
          "question."),
        100 * clip->cut_sure, file->look->title);
    gtk_label_set_text(review->says, says);
}

void rb_cut_review_show_place(RbCutReview *review, const RbIntake *intake, int clip,
                              int64_t at, bool moves)
{
    g_return_if_fail(RB_IS_CUT_REVIEW(review));
    const RbIntakeClip *of = intake->clips->pdata[clip];
    const RbIntakeFile *file = intake->files->pdata[of->file];
    gtk_widget_set_visible(GTK_WIDGET(review), true);
    show_side(review->before, file->look->path, at - 1, _("Before: frame %s, the last"));
    show_side(review->after, file->look->path, at, _("After: frame %s, the first"));
    g_autofree char *says = g_strdup_printf(
        moves ? _("Where was the camera stopped? The cut is moved in %s.\n\nLeft and "
                  "Right: by a frame, with Shift by a second.\nY: here.\nJ: nowhere; the "
                  "two clips become one.\nM: in the other angle.\nEscape: leave it "
                  "where it was.")
              : _("Where was the camera stopped? A new clip starts in %s.\n\nLeft and "
                  "Right: by a frame, with Shift by a second.\nY: here.\nC: in the "
                  "other angle.\nEscape: nothing is cut."),
        file->look->title);
    gtk_label_set_text(review->says, says);
}
