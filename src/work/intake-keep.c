/* SPDX-License-Identifier: GPL-3.0-or-later */
/* A folder read once more, since a film came or went: what a person mended in the table of before. */
#include <string.h>

#include "intake-private.h"

typedef struct {
    RbIntake *now;
    const RbIntake *before;
    int *file_of; /* owned: where each file of before is now; -1: gone */
    int *clip_of; /* owned: the same of its clips */
    bool *kept;   /* owned: of each clip of now, whether it was there before */
} Keeping;

static RbIntakeClip *clip_at(const RbIntake *intake, int clip)
{
    return intake->clips->pdata[clip];
}

static RbIntakeRow *row_at(const GArray *rows, guint row)
{
    return &g_array_index(rows, RbIntakeRow, row);
}

/* ---- the same files, cut as a person has cut them */

static bool is_taken(const Keeping *keeping, guint until, int file)
{
    for (guint i = 0; i < until; i++) {
        if (keeping->file_of[i] == file) {
            return true;
        }
    }
    return false;
}

/* The same film, at the same place if it is there more than once. */
static int find_file(const Keeping *keeping, guint at)
{
    const RbIntakeFile *old = keeping->before->files->pdata[at];
    int found = -1;
    for (int i = 0; i < (int)keeping->now->files->len; i++) {
        const RbIntakeFile *file = keeping->now->files->pdata[i];
        if (g_strcmp0(file->look->fingerprint, old->look->fingerprint) != 0 ||
            is_taken(keeping, at, i)) {
            continue;
        }
        if (g_strcmp0(file->look->path, old->look->path) == 0) {
            return i;
        }
        found = found < 0 ? i : found;
    }
    return found;
}

/* Of one file, in order. Returns: (transfer full): of RbIntakeClip, borrowed. */
static GPtrArray *clips_of(const RbIntake *intake, int file)
{
    GPtrArray *clips = g_ptr_array_new();
    for (guint i = 0; i < intake->clips->len; i++) {
        if (clip_at(intake, (int)i)->file == file) {
            g_ptr_array_add(clips, intake->clips->pdata[i]);
        }
    }
    return clips;
}

/* Read again the same way a film is cut the same way: another cut is a person's. */
static bool same_spans(const GPtrArray *a, const GPtrArray *b)
{
    bool same = a->len == b->len;
    for (guint i = 0; same && i < a->len; i++) {
        const RbIntakeClip *x = a->pdata[i];
        const RbIntakeClip *y = b->pdata[i];
        same = x->first == y->first && x->last == y->last;
    }
    return same;
}

/* In place of what was read: the angle and the number are those of the clip read there. */
static void add_mended(RbIntake *now, const GPtrArray *mended, const GPtrArray *read,
                       int file)
{
    for (guint i = 0; i < mended->len; i++) {
        RbIntakeClip *clip = g_memdup2(mended->pdata[i], sizeof *clip);
        clip->file = file;
        clip->same_as = -1;
        for (guint k = 0; k < read->len; k++) {
            const RbIntakeClip *there = read->pdata[k];
            if (there->first <= clip->first && clip->first <= there->last) {
                clip->angle = there->angle;
                clip->number = there->number;
            }
        }
        g_ptr_array_add(now->clips, clip);
    }
}

static void put_mended(RbIntake *now, const GPtrArray *mended, const GPtrArray *read,
                       int file)
{
    gsize n = 0;
    g_autofree gpointer *all = g_ptr_array_steal(now->clips, &n);
    g_autofree int *place = g_new(int, n);
    bool done = false;
    for (gsize i = 0; i < n; i++) {
        const RbIntakeClip *clip = all[i];
        if (clip->file == file && !done) {
            add_mended(now, mended, read, file);
            done = true;
        }
        place[i] = clip->file == file ? -1 : (int)now->clips->len;
        if (clip->file != file) {
            g_ptr_array_add(now->clips, all[i]);
        }
    }
    for (guint i = 0; i < now->clips->len; i++) {
        RbIntakeClip *clip = clip_at(now, (int)i);
        clip->same_as = clip->same_as >= 0 ? place[clip->same_as] : -1;
    }
    for (guint i = 0; i < read->len; i++) {
        g_free(read->pdata[i]);
    }
}

static void keep_file(const Keeping *keeping, int old, int file)
{
    g_autoptr(GPtrArray) mended = clips_of(keeping->before, old);
    g_autoptr(GPtrArray) read = clips_of(keeping->now, file);
    if (mended->len > 0 && read->len > 0 && !same_spans(mended, read)) {
        put_mended(keeping->now, mended, read, file);
        return;
    }
    for (guint i = 0; i < read->len && i < mended->len; i++) {
        const RbIntakeClip *from = mended->pdata[i];
        RbIntakeClip *to = read->pdata[i];
        to->out = from->out;
        to->cut_sure = MAX(to->cut_sure, from->cut_sure);
    }
}

/* ---- the rows as a person has moved them */

static int find_clip(const Keeping *keeping, const RbIntakeClip *old)
{
    const int file = keeping->file_of[old->file];
    for (int i = 0; file >= 0 && i < (int)keeping->now->clips->len; i++) {
        const RbIntakeClip *clip = clip_at(keeping->now, i);
        if (clip->file == file && clip->first == old->first) {
            return i;
        }
    }
    return -1;
}

/* Of two that show the same, the one that has its place in the table keeps it. */
static void keep_original(const Keeping *keeping, int old)
{
    const int at = keeping->clip_of[old];
    RbIntakeClip *clip = at >= 0 ? clip_at(keeping->now, at) : NULL;
    if (clip != NULL && clip_at(keeping->before, old)->same_as < 0 &&
        clip->same_as >= 0 && !keeping->kept[clip->same_as]) {
        clip_at(keeping->now, clip->same_as)->same_as = at;
        clip->same_as = -1;
    }
}

static void find_clips(Keeping *keeping)
{
    const guint n = keeping->before->clips->len;
    keeping->clip_of = g_new(int, n);
    keeping->kept = g_new0(bool, keeping->now->clips->len);
    for (guint i = 0; i < n; i++) {
        keeping->clip_of[i] = find_clip(keeping, clip_at(keeping->before, (int)i));
        if (keeping->clip_of[i] >= 0) {
            keeping->kept[keeping->clip_of[i]] = true;
        }
    }
    for (guint i = 0; i < n; i++) {
        keep_original(keeping, (int)i);
    }
}

static void add_old_rows(const Keeping *keeping, GArray *rows)
{
    for (guint i = 0; i < keeping->before->rows->len; i++) {
        const RbIntakeRow *old = row_at(keeping->before->rows, i);
        RbIntakeRow row = *old;
        row.wide = old->wide >= 0 ? keeping->clip_of[old->wide] : -1;
        row.tight = old->tight >= 0 ? keeping->clip_of[old->tight] : -1;
        if (rb_intake_row_is_snap(&row)) {
            rb_intake_row_set_kind(&row);
        } else if (row.wide < 0 && row.tight < 0) {
            continue;
        }
        g_array_append_val(rows, row);
    }
}

static RbIntakeRow *find_number(GArray *rows, int number)
{
    for (guint i = 0; number > 0 && i < rows->len; i++) {
        if (row_at(rows, i)->number == number) {
            return row_at(rows, i);
        }
    }
    return NULL;
}

static RbIntakeRow *find_row_of(const GArray *rows, int clip)
{
    for (guint i = 0; clip >= 0 && i < rows->len; i++) {
        RbIntakeRow *row = row_at(rows, i);
        if (row->wide == clip || row->tight == clip) {
            return row;
        }
    }
    return NULL;
}

static void add_left_out(GArray *rows, RbIntakeKind kind, int wide, int tight)
{
    const RbIntakeRow row = { .kind = kind, .wide = wide, .tight = tight, .sure = 1 };
    g_array_append_val(rows, row);
}

/* New clips of one snap, as they were matched: into its row if there is room, else none's. */
static void place_new(const Keeping *keeping, GArray *rows, RbIntakeRow new_, int partner)
{
    RbIntakeRow *row =
        partner >= 0 ? find_row_of(rows, partner) : find_number(rows, new_.number);
    const bool room = row != NULL && rb_intake_row_is_snap(row) &&
                      (new_.wide < 0 || row->wide < 0) &&
                      (new_.tight < 0 || row->tight < 0);
    if (room) {
        row->wide = new_.wide >= 0 ? new_.wide : row->wide;
        row->tight = new_.tight >= 0 ? new_.tight : row->tight;
        row->sure = MIN(row->sure, new_.sure);
        rb_intake_row_set_kind(row);
    } else if (row == NULL && partner < 0) {
        rb_intake_row_set_kind(&new_);
        new_.kind = new_.number > 0 ? new_.kind : RB_INTAKE_EXTRA;
        g_array_append_val(rows, new_);
    } else if (partner < 0 && keeping->now->snaps->len == 0) {
        for (guint i = 0; i < rows->len; i++) {
            new_.number = MAX(new_.number, row_at(rows, i)->number + 1);
        }
        rb_intake_row_set_kind(&new_);
        g_array_append_val(rows, new_);
    } else {
        add_left_out(rows, RB_INTAKE_EXTRA, new_.wide, new_.tight);
    }
}

static void add_new_row(const Keeping *keeping, GArray *rows, const RbIntakeRow *fresh)
{
    RbIntakeRow new_ = *fresh;
    int partner = -1;
    int *const sides[] = { &new_.wide, &new_.tight };
    for (int k = 0; k < 2; k++) {
        const int clip = *sides[k];
        if (clip >= 0 && keeping->kept[clip]) {
            partner = clip;
            *sides[k] = -1;
        } else if (clip >= 0 && clip_at(keeping->now, clip)->same_as >= 0) {
            add_left_out(rows, RB_INTAKE_DUPLICATE, k == 0 ? clip : -1,
                         k == 0 ? -1 : clip);
            *sides[k] = -1;
        }
    }
    if (new_.wide >= 0 || new_.tight >= 0) {
        place_new(keeping, rows, new_, partner);
    } else if (fresh->kind == RB_INTAKE_NO_FILM &&
               find_number(rows, fresh->number) == NULL) {
        g_array_append_val(rows, *fresh);
    }
}

static void keep_rows(const Keeping *keeping)
{
    RbIntake *now = keeping->now;
    g_autoptr(GArray) fresh = now->rows;
    now->rows = g_array_new(FALSE, FALSE, sizeof(RbIntakeRow));
    add_old_rows(keeping, now->rows);
    for (guint i = 0; i < fresh->len; i++) {
        add_new_row(keeping, now->rows, row_at(fresh, i));
    }
    rb_intake_sort_rows(now);
    now->by_hand = true;
}

/* Where the clips of a row of before stand now; -1: nowhere. */
static int find_place(const Keeping *keeping, int row)
{
    if (row < 0 || row >= (int)keeping->before->rows->len) {
        return -1;
    }
    const RbIntakeRow *old = row_at(keeping->before->rows, (guint)row);
    const int clip = old->wide >= 0 ? old->wide : old->tight;
    const RbIntakeRow *found =
        clip >= 0 ? find_row_of(keeping->now->rows, keeping->clip_of[clip]) : NULL;
    return found != NULL ? (int)(found - row_at(keeping->now->rows, 0)) : -1;
}

int rb_intake_keep_mends(RbIntake *intake, const RbIntake *before, int row)
{
    Keeping keeping = { .now = intake, .before = before };
    keeping.file_of = g_new(int, MAX(before->files->len, 1));
    for (guint i = 0; i < before->files->len; i++) {
        keeping.file_of[i] = find_file(&keeping, i);
        if (keeping.file_of[i] >= 0) {
            keep_file(&keeping, (int)i, keeping.file_of[i]);
        }
    }
    rb_intake_match(intake, intake->game, NULL);
    find_clips(&keeping);
    if (before->by_hand) {
        keep_rows(&keeping);
    }
    const int place = find_place(&keeping, row);
    g_free(keeping.file_of);
    g_free(keeping.clip_of);
    g_free(keeping.kept);
    return place;
}
