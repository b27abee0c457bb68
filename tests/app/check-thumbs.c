/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The stills of rows: made in the background, of rows in view only. */
#include "rb/model/cutup.h"

#include "cases.h"
#include "cutups-clips.h"
#include "display.h"
#include "sample-library.h"
#include "thumb-maker.h"
#include "thumb-view.h"

#define N 20

static char *make_film(void)
{
    g_autofree char *cache = rb_test_path("cache");
    g_autofree char *library = rb_test_path("thumbs.readbreak");
    g_setenv("XDG_CACHE_HOME", cache, TRUE);
    GError *error = NULL;
    ck_assert(rb_sample_library_make(library, true, &error));
    rb_assert_no_error(error);
    g_autofree char *folder = g_path_get_dirname(library);
    g_autoptr(GDir) dir = g_dir_open(folder, 0, NULL);
    const char *name = NULL;
    while ((name = g_dir_read_name(dir)) != NULL) {
        if (strstr(name, "wide") != NULL) {
            return g_build_filename(folder, name, NULL);
        }
    }
    ck_abort_msg("the sample has no wide film");
}

typedef struct {
    int told[2 * N]; /* the frames, in the order of the answers; -1: none */
    int n;
    int until;
} Answers;

typedef struct {
    Answers *answers;
    int frame;
} One;

static int frame_of(GdkTexture *texture)
{
    const int width = gdk_texture_get_width(texture);
    const int height = gdk_texture_get_height(texture);
    g_autofree guchar *bgra = g_malloc((gsize)width * (gsize)height * 4);
    gdk_texture_download(texture, bgra, (gsize)width * 4);
    return (int)rb_sample_frame_code(bgra, width, height, (size_t)width * 4);
}

static void on_told(GdkTexture *texture, void *data)
{
    const One *one = data;
    Answers *answers = one->answers;
    ck_assert_int_lt(answers->n, 2 * N);
    answers->told[answers->n++] = texture != NULL ? one->frame : -1;
    if (texture != NULL) {
        ck_assert_int_eq(frame_of(texture), one->frame);
    }
}

static bool are_told(void *data)
{
    const Answers *answers = data;
    return answers->n >= answers->until;
}

START_TEST(test_thumbs__asked_last_is_made_first)
{
    g_autofree char *film = make_film();
    Answers answers = { .until = N - 1 };
    One ones[N];
    guint numbers[N];
    for (int i = 0; i < N; i++) {
        ones[i] = (One){ &answers, i };
        numbers[i] = rb_thumb_maker_ask(film, i, on_told, &ones[i]);
    }
    ck_assert_int_eq(answers.n, 0);
    rb_thumb_maker_leave(numbers[3]);
    ck_assert(rb_display_run_until(are_told, &answers));
    int expected = N;
    for (int i = 0; i < N - 1; i++) {
        expected -= expected == 4 ? 2 : 1;
        ck_assert_int_eq(answers.told[i], expected);
    }
    /* What was made is at hand, and nothing else is. */
    g_autoptr(GdkTexture) made = rb_thumb_maker_get(film, 7);
    ck_assert_int_eq(frame_of(made), 7);
    ck_assert_ptr_null(rb_thumb_maker_get(film, 3));
    rb_thumb_maker_end();
}
END_TEST

START_TEST(test_thumbs__left_while_they_are_made)
{
    g_autofree char *film = make_film();
    Answers answers = { .until = 1 };
    One ones[N];
    guint numbers[N];
    for (int i = 0; i < N; i++) {
        ones[i] = (One){ &answers, i };
        numbers[i] = rb_thumb_maker_ask(film, i, on_told, &ones[i]);
    }
    ck_assert(rb_display_run_until(are_told, &answers));
    const int so_far = answers.n;
    for (int i = 0; i < N - so_far; i++) { /* from the first: those not told yet */
        rb_thumb_maker_leave(numbers[i]);
    }
    /* The next ask is answered though its forerunners were cancelled. */
    One last = { &answers, 40 };
    rb_thumb_maker_ask(film, 40, on_told, &last);
    answers.until = so_far + 1;
    ck_assert(rb_display_run_until(are_told, &answers));
    ck_assert_int_eq(answers.n, so_far + 1);
    ck_assert_int_eq(answers.told[so_far], 40);
    rb_thumb_maker_end();
}
END_TEST

START_TEST(test_thumbs__what_cannot_be_had_is_told)
{
    g_autofree char *film = make_film();
    g_autofree char *none = rb_test_path("none.mp4");
    Answers answers = { .until = 3 };
    One ones[] = { { &answers, 5 }, { &answers, 5 }, { &answers, 9999999 } };
    rb_thumb_maker_ask(film, 5, on_told, &ones[0]);
    rb_thumb_maker_ask(none, 5, on_told, &ones[1]);
    rb_thumb_maker_ask(film, 9999999, on_told, &ones[2]);
    ck_assert(rb_display_run_until(are_told, &answers));
    ck_assert_int_eq(answers.told[0], -1);
    ck_assert_int_eq(answers.told[1] + answers.told[2], 4); /* 5 and -1 */
    rb_thumb_maker_end();
}
END_TEST

/* ---- in the list of clips */

static RbCutupClip *clip_new(const char *film, int number)
{
    RbCutupClip *clip = g_new0(RbCutupClip, 1);
    clip->entry = rb_cutup_entry_new((RbCutupEntryId){ number + 1 }, (RbCutupId){ 1 },
                                     (RbSnapId){ number + 1 });
    clip->title = g_strdup("Week 1");
    clip->subtitle = g_strdup("1st and 10");
    clip->path = g_strdup(film);
    clip->missing = film == NULL ? g_strdup("It has no film.") : NULL;
    clip->card = g_ptr_array_new();
    clip->drawings = g_ptr_array_new();
    clip->beside_drawings = g_ptr_array_new();
    clip->last = 80;
    clip->anchor = number;
    clip->freeze = -1;
    return clip;
}

static RbCutupPlan *plan_new(const char *film, int n)
{
    RbCutupPlan *plan = g_new0(RbCutupPlan, 1);
    plan->cutup = rb_cutup_new((RbCutupId){ 1 }, "Monday", RB_CUTUP_FIXED);
    plan->clips = g_ptr_array_new();
    for (int i = 0; i < n; i++) {
        g_ptr_array_add(plan->clips, clip_new(i != 1 ? film : NULL, i));
    }
    return plan;
}

static RbThumbView *find_thumb(GtkWidget *widget)
{
    RbThumbView *found = RB_IS_THUMB_VIEW(widget) ? RB_THUMB_VIEW(widget) : NULL;
    for (GtkWidget *child = gtk_widget_get_first_child(widget);
         child != NULL && found == NULL; child = gtk_widget_get_next_sibling(child)) {
        found = find_thumb(child);
    }
    return found;
}

typedef struct {
    GtkListBox *list;
    int row;
} Row;

static bool has_picture(void *data)
{
    const Row *row = data;
    GtkListBoxRow *found = gtk_list_box_get_row_at_index(row->list, row->row);
    return rb_thumb_view_has_picture(find_thumb(GTK_WIDGET(found)));
}

static GtkListBox *find_list(GtkWidget *widget)
{
    while (widget != NULL && !GTK_IS_LIST_BOX(widget)) {
        widget = gtk_widget_get_first_child(widget);
    }
    return GTK_LIST_BOX(widget);
}

static int count_pictures(GtkListBox *list, int n)
{
    int pictures = 0;
    for (int i = 0; i < n; i++) {
        pictures += has_picture(&(Row){ list, i });
    }
    return pictures;
}

START_TEST(test_thumbs__of_rows_in_view_only)
{
    rb_display_start();
    g_autofree char *film = make_film();
    g_autoptr(RbCutupPlan) plan = plan_new(film, 60);
    GtkWidget *clips = g_object_new(RB_TYPE_CUTUPS_CLIPS, NULL);
    GtkWidget *window = rb_display_show(clips, 340, 300);
    rb_cutups_clips_set(RB_CUTUPS_CLIPS(clips), plan);
    GtkListBox *list = find_list(gtk_widget_get_first_child(clips));
    Row row = { list, 3 };
    ck_assert(rb_display_run_until(has_picture, &row));
    ck_assert(has_picture(&(Row){ list, 0 }));
    ck_assert(!has_picture(&(Row){ list, 1 })); /* it has no film */
    rb_cutups_clips_choose(RB_CUTUPS_CLIPS(clips), 59, true);
    row.row = 59;
    ck_assert(rb_display_run_until(has_picture, &row));
    ck_assert(!has_picture(&(Row){ list, 0 }));
    ck_assert_int_le(count_pictures(list, 60), 300 / 45 + 2);
    /* The list is made anew: what is at hand is there without a helper. */
    rb_cutups_clips_set(RB_CUTUPS_CLIPS(clips), plan);
    ck_assert(rb_display_run_until(has_picture, &row));
    gtk_widget_set_visible(clips, FALSE);
    rb_display_settle();
    ck_assert_int_eq(count_pictures(list, 60), 0);
    gtk_window_destroy(GTK_WINDOW(window));
    rb_thumb_maker_end();
}
END_TEST

TCase *rb_case_thumbs(void)
{
    TCase *tcase = rb_case_new("thumbs");
    tcase_add_test(tcase, test_thumbs__asked_last_is_made_first);
    tcase_add_test(tcase, test_thumbs__left_while_they_are_made);
    tcase_add_test(tcase, test_thumbs__what_cannot_be_had_is_told);
    tcase_add_test(tcase, test_thumbs__of_rows_in_view_only);
    return tcase;
}
