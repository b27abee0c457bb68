/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "config.h"

#include "film-rows.h"

#include <glib/gi18n.h>

#include "form.h"

#define PLACE "place" /* of the row in intake->rows, plus one */

static GtkWidget *text_of(const char *text, int width, bool muted)
{
    GtkWidget *label = gtk_label_new(text);
    gtk_label_set_xalign(GTK_LABEL(label), 0.0F);
    gtk_label_set_ellipsize(GTK_LABEL(label), PANGO_ELLIPSIZE_MIDDLE);
    gtk_label_set_width_chars(GTK_LABEL(label), rb_column_letters(width));
    gtk_label_set_max_width_chars(GTK_LABEL(label), rb_column_letters(width));
    if (muted) {
        gtk_widget_add_css_class(label, "muted");
    }
    return label;
}

/* The clip's middle, grey as it was compared. */
static GtkWidget *picture_of(const RbIntakeClip *clip)
{
    uint8_t *rgb = g_malloc(RB_INTAKE_PIXELS * 3);
    for (int i = 0; i < RB_INTAKE_PIXELS; i++) {
        rgb[3 * i] = rgb[3 * i + 1] = rgb[3 * i + 2] = clip->pictures[1][i];
    }
    g_autoptr(GBytes) bytes = g_bytes_new_take(rgb, RB_INTAKE_PIXELS * 3);
    g_autoptr(GdkTexture) texture = gdk_memory_texture_new(
        RB_INTAKE_WIDTH, RB_INTAKE_HEIGHT, GDK_MEMORY_R8G8B8, bytes, RB_INTAKE_WIDTH * 3);
    GtkWidget *picture = gtk_picture_new_for_paintable(GDK_PAINTABLE(texture));
    gtk_widget_set_size_request(picture, RB_INTAKE_WIDTH * 3 / 2,
                                RB_INTAKE_HEIGHT * 3 / 2);
    gtk_picture_set_can_shrink(GTK_PICTURE(picture), true);
    return picture;
}

static GtkWidget *no_picture(void)
{
    GtkWidget *box = gtk_box_new(GTK_ORIENTATION_HORIZONTAL, 0);
    gtk_widget_set_size_request(box, RB_INTAKE_WIDTH * 3 / 2, -1);
    return box;
}

#define NUMBER_CHARS 5
#define NAME_CHARS 22
#define SECONDS_CHARS 7
#define NOTE_CHARS 26

GtkWidget *rb_film_rows_head_new(void)
{
    GtkWidget *box = gtk_box_new(GTK_ORIENTATION_HORIZONTAL, 10);
    gtk_widget_set_margin_start(box, 8);
    gtk_box_append(GTK_BOX(box), text_of(_("Snap"), NUMBER_CHARS, true));
    gtk_box_append(GTK_BOX(box), no_picture());
    gtk_box_append(GTK_BOX(box), text_of(_("Wide"), NAME_CHARS, true));
    gtk_box_append(GTK_BOX(box), no_picture());
    gtk_box_append(GTK_BOX(box), text_of(_("Tight"), NAME_CHARS, true));
    gtk_box_append(GTK_BOX(box), text_of(C_("of a clip", "Length"), SECONDS_CHARS, true));
    gtk_box_append(GTK_BOX(box), text_of(_("To be seen to"), NOTE_CHARS, true));
    return box;
}

static void add_clip(GtkWidget *box, const RbIntake *intake, int clip)
{
    g_autofree char *name = rb_intake_clip_text(intake, clip);
    GtkWidget *picture =
        clip >= 0 ? picture_of(intake->clips->pdata[clip]) : no_picture();
    gtk_widget_set_valign(picture, GTK_ALIGN_CENTER);
    gtk_box_append(GTK_BOX(box), picture);
    gtk_box_append(GTK_BOX(box),
                   text_of(clip >= 0 ? name : _("No clip"), NAME_CHARS, clip < 0));
}

static char *seconds_of(const RbIntake *intake, const RbIntakeRow *row)
{
    const int any = row->wide >= 0 ? row->wide : row->tight;
    const RbIntakeClip *clip = any >= 0 ? intake->clips->pdata[any] : NULL;
    /* TRANSLATORS: seconds */
    return clip != NULL ? g_strdup_printf(_("%.1f s"), (double)clip->length_us / 1e6)
                        : g_strdup("");
}

static GtkWidget *make_row(const RbIntake *intake, guint place)
{
    const RbIntakeRow *row = &g_array_index(intake->rows, RbIntakeRow, place);
    GtkWidget *box = gtk_box_new(GTK_ORIENTATION_HORIZONTAL, 10);
    g_autofree char *number =
        row->number > 0 ? g_strdup_printf("%d", row->number) : g_strdup("–");
    g_autofree char *note = rb_intake_row_text(intake, row);
    g_autofree char *seconds = seconds_of(intake, row);
    const char *kind = _(rb_words_label(&rb_intake_kind_words, (int)row->kind));
    const bool fine = row->kind == RB_INTAKE_BOTH && *note == '\0';
    gtk_box_append(GTK_BOX(box), text_of(number, NUMBER_CHARS, false));
    add_clip(box, intake, row->wide);
    add_clip(box, intake, row->tight);
    gtk_box_append(GTK_BOX(box), text_of(seconds, SECONDS_CHARS, true));
    gtk_widget_set_margin_start(box, 8);
    gtk_widget_set_margin_top(box, 2);
    gtk_widget_set_margin_bottom(box, 2);
    GtkWidget *said = text_of(*note != '\0' ? note : kind, NOTE_CHARS, fine);
    gtk_label_set_wrap(GTK_LABEL(said), true);
    gtk_label_set_ellipsize(GTK_LABEL(said), PANGO_ELLIPSIZE_NONE);
    gtk_widget_set_hexpand(said, true);
    gtk_box_append(GTK_BOX(box), said);
    GtkWidget *item = gtk_list_box_row_new();
    g_autofree char *name =
        g_strdup_printf(_("Snap %s: %s"), number, *note != '\0' ? note : kind);
    gtk_accessible_update_property(GTK_ACCESSIBLE(item), GTK_ACCESSIBLE_PROPERTY_LABEL,
                                   name, -1);
    g_object_set_data(G_OBJECT(item), PLACE, GINT_TO_POINTER((int)place + 1));
    gtk_list_box_row_set_child(GTK_LIST_BOX_ROW(item), box);
    return item;
}

int rb_film_rows_get_chosen(GtkListBox *list)
{
    GtkListBoxRow *row = gtk_list_box_get_selected_row(list);
    return row != NULL ? GPOINTER_TO_INT(g_object_get_data(G_OBJECT(row), PLACE)) - 1
                       : -1;
}

void rb_film_rows_choose(GtkListBox *list, int place)
{
    GtkListBoxRow *row = NULL;
    for (int i = 0; (row = gtk_list_box_get_row_at_index(list, i)) != NULL; i++) {
        if (GPOINTER_TO_INT(g_object_get_data(G_OBJECT(row), PLACE)) - 1 == place) {
            gtk_list_box_select_row(list, row);
            gtk_widget_grab_focus(GTK_WIDGET(row));
            return;
        }
    }
}

/* Whoever named the films or was in the list goes on in it; an open menu or a button that somebody
 * went to meanwhile keeps the keyboard. */
static bool waits_for_rows(GtkListBox *list)
{
    GtkRoot *root = gtk_widget_get_root(GTK_WIDGET(list));
    GtkWidget *focus = root != NULL ? gtk_root_get_focus(root) : NULL;
    return focus == NULL || GTK_IS_TEXT(focus) ||
           gtk_widget_is_ancestor(focus, GTK_WIDGET(list));
}

void rb_film_rows_show(GtkListBox *list, const RbIntake *intake, int chosen)
{
    GtkWidget *child = NULL;
    int at = -1;
    while ((child = gtk_widget_get_first_child(GTK_WIDGET(list))) != NULL) {
        gtk_list_box_remove(list, child);
    }
    for (guint i = 0; i < intake->rows->len; i++) {
        const RbIntakeRow *row = &g_array_index(intake->rows, RbIntakeRow, i);
        /* Most of a log may have no film; only beside a clip does such a snap tell anything. */
        if (row->kind == RB_INTAKE_NO_FILM) {
            continue;
        }
        GtkWidget *item = make_row(intake, i);
        gtk_list_box_append(list, item);
        if (at < 0 || (int)i <= chosen) {
            at = (int)i;
            gtk_list_box_select_row(list, GTK_LIST_BOX_ROW(item));
        }
    }
    GtkListBoxRow *row = gtk_list_box_get_selected_row(list);
    if (row != NULL && waits_for_rows(list)) {
        gtk_widget_grab_focus(GTK_WIDGET(row));
    }
}

bool rb_film_rows_mend(RbIntake *intake, int row, guint key)
{
    if (row < 0 || row >= (int)intake->rows->len) {
        return false;
    }
    const bool extra =
        g_array_index(intake->rows, RbIntakeRow, row).kind == RB_INTAKE_EXTRA;
    switch (key) {
    case GDK_KEY_x:
        return rb_intake_set_extra(intake, (guint)row, !extra);
    case GDK_KEY_w:
        return rb_intake_shift(intake, (guint)row, RB_ANGLE_WIDE, 1);
    case GDK_KEY_W:
        return rb_intake_shift(intake, (guint)row, RB_ANGLE_WIDE, -1);
    case GDK_KEY_t:
        return rb_intake_shift(intake, (guint)row, RB_ANGLE_TIGHT, 1);
    case GDK_KEY_T:
        return rb_intake_shift(intake, (guint)row, RB_ANGLE_TIGHT, -1);
    default:
        return false;
    }
}
