/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "config.h"

#include "snap-mark-rows.h"

#include <glib/gi18n.h>
#include <inttypes.h>

#include "form.h"

#define FAR_FRAMES 10

typedef enum { ASKED, TAKEN, LEFT_OUT } Word;

struct RbSnapRows {
    RbSnapSearch *search; /* owned */
    guint *order;         /* owned: places in the search, by snap */
    Word *words;          /* owned: by place in the list */
    guint n;
};

static RbSnapProposal *proposal_at(const RbSnapRows *rows, guint place)
{
    return &g_array_index(rows->search->proposals, RbSnapProposal, rows->order[place]);
}

static int compare_places(const void *a, const void *b, void *data)
{
    const GArray *proposals = data;
    const RbSnapProposal *x =
        &g_array_index(proposals, RbSnapProposal, *(const guint *)a);
    const RbSnapProposal *y =
        &g_array_index(proposals, RbSnapProposal, *(const guint *)b);
    return x->number != y->number ? x->number - y->number : (int)x->angle - (int)y->angle;
}

RbSnapRows *rb_snap_rows_new(RbSnapSearch *search)
{
    RbSnapRows *rows = g_new0(RbSnapRows, 1);
    rows->search = search;
    rows->n = search->proposals->len;
    rows->order = g_new(guint, rows->n + 1);
    rows->words = g_new0(Word, rows->n + 1);
    for (guint i = 0; i < rows->n; i++) {
        rows->order[i] = i;
    }
    g_qsort_with_data(rows->order, (int)rows->n, sizeof *rows->order, compare_places,
                      search->proposals);
    for (guint i = 0; i < rows->n; i++) {
        const RbSnapProposal *proposal = proposal_at(rows, i);
        rows->words[i] =
            proposal->frame >= 0 && proposal->sure >= RB_SNAP_SURE ? TAKEN : ASKED;
    }
    return rows;
}

void rb_snap_rows_free(RbSnapRows *rows)
{
    rb_snap_search_free(rows->search);
    g_free(rows->order);
    g_free(rows->words);
    g_free(rows);
}

static char *found_text(const RbSnapRows *rows, guint place)
{
    const RbSnapProposal *proposal = proposal_at(rows, place);
    if (rows->search->paths->pdata[rows->order[place]] == NULL) {
        return g_strdup(_("its film is not in its place"));
    }
    if (proposal->frame < 0) {
        return g_strdup(_("no snap seen"));
    }
    if (proposal->moved) {
        return g_strdup_printf(_("frame %" PRId64 ", moved by hand"), proposal->frame);
    }
    return g_strdup_printf(_("frame %" PRId64 ", %.0f %% sure"), proposal->frame,
                           100 * proposal->sure);
}

/* Words, not colour alone. */
static const char *word_text(Word word)
{
    switch (word) {
    case ASKED:
        return _("to be judged");
    case TAKEN:
        return _("taken");
    case LEFT_OUT:
        return _("left out");
    }
    g_assert_not_reached();
}

static GtkWidget *cell(const char *text, int width, bool muted)
{
    GtkWidget *label = gtk_label_new(text);
    gtk_label_set_xalign(GTK_LABEL(label), 0.0F);
    gtk_label_set_width_chars(GTK_LABEL(label), rb_column_letters(width));
    if (muted) {
        gtk_widget_add_css_class(label, "muted");
    }
    return label;
}

static void fill_row(const RbSnapRows *rows, GtkListBoxRow *row, guint place)
{
    const RbSnapProposal *proposal = proposal_at(rows, place);
    GtkWidget *box = gtk_box_new(GTK_ORIENTATION_HORIZONTAL, 10);
    const char *angle = _(rb_words_label(&rb_angle_words, (int)proposal->angle));
    const char *word = word_text(rows->words[place]);
    g_autofree char *number = g_strdup_printf(_("Snap %d"), proposal->number);
    g_autofree char *found = found_text(rows, place);
    g_autofree char *name =
        g_strdup_printf(_("Snap %d, %s: %s; %s"), proposal->number, angle, found, word);
    gtk_box_append(GTK_BOX(box), cell(number, 9, false));
    gtk_box_append(GTK_BOX(box), cell(angle, 8, true));
    gtk_box_append(GTK_BOX(box), cell(found, 28, false));
    gtk_box_append(GTK_BOX(box), cell(word, 12, rows->words[place] != ASKED));
    gtk_widget_set_margin_start(box, 8);
    gtk_widget_set_margin_top(box, 3);
    gtk_widget_set_margin_bottom(box, 3);
    gtk_list_box_row_set_child(row, box);
    gtk_accessible_update_property(GTK_ACCESSIBLE(row), GTK_ACCESSIBLE_PROPERTY_LABEL,
                                   name, -1);
}

static void choose(GtkListBox *list, guint place)
{
    GtkListBoxRow *row = gtk_list_box_get_row_at_index(list, (int)place);
    if (row != NULL) {
        gtk_list_box_select_row(list, row);
        gtk_widget_grab_focus(GTK_WIDGET(row));
    }
}

/* The next that is to be judged, from the last round to the first; else the next one. */
static void go_on(const RbSnapRows *rows, GtkListBox *list, guint place)
{
    for (guint i = 1; i <= rows->n; i++) {
        if (rows->words[(place + i) % rows->n] == ASKED) {
            choose(list, (place + i) % rows->n);
            return;
        }
    }
    choose(list, MIN(place + 1, rows->n - 1));
}

void rb_snap_rows_fill(RbSnapRows *rows, GtkListBox *list)
{
    for (guint i = 0; i < rows->n; i++) {
        GtkWidget *row = gtk_list_box_row_new();
        fill_row(rows, GTK_LIST_BOX_ROW(row), i);
        gtk_list_box_append(list, row);
    }
    if (rows->n > 0) {
        go_on(rows, list, rows->n - 1);
    }
}

/* A mark that nobody found starts in the clip's middle. */
static bool move(RbSnapProposal *proposal, int by)
{
    const int64_t from = proposal->frame >= 0
                             ? proposal->frame + by
                             : proposal->first + (proposal->last - proposal->first) / 2;
    const int64_t frame = CLAMP(from, proposal->first, proposal->last);
    proposal->moved = proposal->moved || frame != proposal->frame;
    proposal->frame = frame;
    return true;
}

/* True if the key was one of them. A mark that is moved is judged apart. */
static bool judge(RbSnapRows *rows, guint place, guint key, bool far)
{
    RbSnapProposal *proposal = proposal_at(rows, place);
    const bool film = rows->search->paths->pdata[rows->order[place]] != NULL;
    const int step = far ? FAR_FRAMES : 1;
    switch (key) {
    case GDK_KEY_n:
    case GDK_KEY_N:
        rows->words[place] = LEFT_OUT;
        return true;
    case GDK_KEY_y:
    case GDK_KEY_Y:
        rows->words[place] = proposal->frame >= 0 ? TAKEN : rows->words[place];
        return proposal->frame >= 0;
    case GDK_KEY_Left:
        return film && move(proposal, -step);
    case GDK_KEY_Right:
        return film && move(proposal, step);
    default:
        return false;
    }
}

bool rb_snap_rows_judge(RbSnapRows *rows, GtkListBox *list, guint key, bool far)
{
    GtkListBoxRow *row = gtk_list_box_get_selected_row(list);
    const int place = row != NULL ? gtk_list_box_row_get_index(row) : -1;
    if (place < 0 || place >= (int)rows->n || !judge(rows, (guint)place, key, far)) {
        return false;
    }
    fill_row(rows, row, (guint)place);
    if (key != GDK_KEY_Left && key != GDK_KEY_Right) {
        go_on(rows, list, (guint)place);
    }
    return true;
}

void rb_snap_rows_show_still(const RbSnapRows *rows, GtkListBox *list, RbStillView *still)
{
    GtkListBoxRow *row = gtk_list_box_get_selected_row(list);
    const int place = row != NULL ? gtk_list_box_row_get_index(row) : -1;
    if (place < 0 || place >= (int)rows->n) {
        rb_still_view_show(still, NULL, -1, NULL);
        return;
    }
    const RbSnapProposal *proposal = proposal_at(rows, (guint)place);
    g_autofree char *words = g_strdup_printf(
        _("Snap %d, %s: frame %" PRId64), proposal->number,
        _(rb_words_label(&rb_angle_words, (int)proposal->angle)), proposal->frame);
    rb_still_view_show(still, rows->search->paths->pdata[rows->order[place]],
                       proposal->frame,
                       proposal->frame >= 0 ? words : _("No snap was seen here"));
}

static int count(const RbSnapRows *rows, Word word)
{
    int n = 0;
    for (guint i = 0; i < rows->n; i++) {
        n += rows->words[i] == word;
    }
    return n;
}

int rb_snap_rows_count(const RbSnapRows *rows)
{
    return count(rows, TAKEN);
}

char *rb_snap_rows_text(const RbSnapRows *rows)
{
    return g_strdup_printf(
        _("Taken: %d, to be judged: %d, left out: %d. Y takes a mark, N leaves it out, Left "
          "and Right move it by a frame, with Shift by ten. Alt+A writes those taken."),
        count(rows, TAKEN), count(rows, ASKED), count(rows, LEFT_OUT));
}

RbSnapSearch *rb_snap_rows_dup_taken(const RbSnapRows *rows)
{
    g_autofree bool *chosen = g_new0(bool, rows->n + 1);
    for (guint i = 0; i < rows->n; i++) {
        chosen[rows->order[i]] = rows->words[i] == TAKEN;
    }
    return rb_snap_search_choose(rows->search, chosen);
}
