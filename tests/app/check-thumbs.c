/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The stills of rows: made in the background, of rows in view only. */
#include "rb/model/cutup.h"

#include "cases.h"
#include "cutups-clips.h"
#include "display.h"
#include "sample-library.h"
#include "snap-cells.h"
#include "table-items.h"
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

/* ---- in the table of snaps */

enum { SNAPS = 60, TABLE_HEIGHT = 300 };

static GPtrArray *snap_rows_new(const char *film)
{
    GPtrArray *rows = g_ptr_array_new_with_free_func((GDestroyNotify)rb_snap_row_free);
    for (int i = 0; i < SNAPS; i++) {
        RbSnapRow *row = g_new0(RbSnapRow, 1);
        row->snap = (RbSnapId){ i + 1 };
        row->number = i;
        for (int k = 0; k < RB_SNAP_COLUMNS; k++) {
            row->value[k] = g_strdup("");
            row->shown[k] = g_strdup("");
        }
        row->film = i % 4 != 1 ? g_strdup(film) : NULL;
        row->frame = i;
        g_ptr_array_add(rows, row);
    }
    return rows;
}

typedef struct {
    RbSnapStills *stills;
    RbSnapCells cells;
    GtkWidget *scrolled;
    GtkWidget *window;
    int wanted;
} Table;

static void on_edited(void *data, RbSnapId snap, int column, const char *text)
{
    (void)data;
    ck_abort_msg("snap %d, column %d became %s", (int)snap.value, column, text);
}

static void table_open(Table *table, const char *film)
{
    g_autoptr(GPtrArray) rows = snap_rows_new(film);
    GListStore *items = g_list_store_new(RB_TYPE_TABLE_ITEM);
    GtkWidget *view = gtk_column_view_new(
        GTK_SELECTION_MODEL(gtk_no_selection_new(G_LIST_MODEL(items))));
    table->stills = rb_snap_stills_new();
    table->cells = (RbSnapCells){ table->stills, on_edited, NULL };
    rb_snap_cells_add_columns(GTK_COLUMN_VIEW(view), &table->cells);
    rb_table_items_replace(items, rows);
    table->scrolled = gtk_scrolled_window_new();
    gtk_scrolled_window_set_child(GTK_SCROLLED_WINDOW(table->scrolled), view);
    rb_snap_stills_watch(table->stills, GTK_SCROLLED_WINDOW(table->scrolled));
    rb_snap_stills_set_any(table->stills, true);
    table->window = rb_display_show(table->scrolled, 900, TABLE_HEIGHT);
}

/* Each still that is there is of the snap whose number stands beside it. */
static int count_right_stills(GtkWidget *widget)
{
    int n = 0;
    if (RB_IS_THUMB_VIEW(widget)) {
        GtkWidget *picture = gtk_widget_get_first_child(widget);
        GdkPaintable *shown = gtk_picture_get_paintable(GTK_PICTURE(picture));
        if (shown == NULL) {
            return 0;
        }
        const char *number =
            gtk_label_get_text(GTK_LABEL(gtk_widget_get_next_sibling(widget)));
        ck_assert_int_eq(frame_of(GDK_TEXTURE(shown)), atoi(number));
        ck_assert_int_ne(atoi(number) % 4, 1);
        return 1;
    }
    for (GtkWidget *child = gtk_widget_get_first_child(widget); child != NULL;
         child = gtk_widget_get_next_sibling(child)) {
        n += count_right_stills(child);
    }
    return n;
}

static bool has_stills(void *data)
{
    const Table *table = data;
    const int n = count_right_stills(table->scrolled);
    return table->wanted > 0 ? n >= table->wanted : n == 0;
}

static void scroll_to(const Table *table, double y)
{
    gtk_adjustment_set_value(
        gtk_scrolled_window_get_vadjustment(GTK_SCROLLED_WINDOW(table->scrolled)), y);
}

START_TEST(test_thumbs__of_snaps_in_view_only)
{
    rb_display_start();
    g_autofree char *film = make_film();
    Table table = { 0 };
    table_open(&table, film);
    /* Seven rows at least have room, and three of four have a film. */
    table.wanted = 5;
    ck_assert(rb_display_run_until(has_stills, &table));
    for (int y = 100; y <= 1500; y += 350) { /* rows are used again for other snaps */
        scroll_to(&table, y);
        rb_display_settle();
        const int soon = count_right_stills(table.scrolled);
        ck_assert_int_le(soon, TABLE_HEIGHT / 30 + 1);
    }
    table.wanted = 0;
    rb_snap_stills_set_any(table.stills, false);
    ck_assert(rb_display_run_until(has_stills, &table));
    gtk_window_destroy(GTK_WINDOW(table.window));
    rb_snap_stills_free(table.stills);
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
    tcase_add_test(tcase, test_thumbs__of_snaps_in_view_only);
    return tcase;
}
