/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "sample-library.h"

#include <string.h>

#include "rb/film/writer.h"
#include "rb/store/films.h"
#include "rb/store/snaps.h"
#include "rb/store/staff.h"
#include "rb/work/films.h"
#include "rb/work/library.h"

#define WIDTH 320
#define HEIGHT 180
#define BITS 10
#define BLOCK (WIDTH / BITS)

static const RbGameId games[] = { { 101 }, { 102 } };
static const RbTeamId us = { 11 };
static const RbTeamId them = { 12 };
static const RbPlayerId quarterback = { 21 };
static const char *const concepts[] = { "smash", "curl-flat", "flood", "mesh" };
static const char *const coverages[] = { "cover-2", "cover-3", "quarters" };

RbSnapId rb_sample_snap_id(int number)
{
    return (RbSnapId){ 1000 + number };
}

int64_t rb_sample_frame_code(const uint8_t *bgra, int width, int height, size_t stride)
{
    int64_t code = 0;
    for (int bit = 0; bit < BITS; bit++) {
        const int x = (bit * 2 + 1) * width / (2 * BITS);
        const uint8_t *pixel = bgra + (size_t)(height / 8) * stride + 4 * (size_t)x;
        code |= pixel[1] > 127 ? (int64_t)1 << bit : 0;
    }
    return code;
}

/* White and black blocks along the top for the number, a moving bar below. */
static void paint(RbWriterFrame *frame)
{
    for (int y = 0; y < HEIGHT; y++) {
        uint8_t *row = frame->planes[0] + (size_t)y * frame->strides[0];
        for (int x = 0; x < WIDTH; x++) {
            const bool one = (frame->ordinal >> (x / BLOCK)) & 1;
            const bool bar = (x + 3 * (int)frame->ordinal) % 80 < 8;
            row[x] = (uint8_t)(y < HEIGHT / 4 ? one ? 220 : 30 : bar ? 160 : 80);
        }
    }
    for (int plane = 1; plane < 3; plane++) {
        for (int y = 0; y < HEIGHT / 2; y++) {
            memset(frame->planes[plane] + (size_t)y * frame->strides[plane],
                   plane == 1 ? 118 : 112, WIDTH / 2);
        }
    }
}

static bool write_film(const char *path, RbRational rate, int frames, GError **error)
{
    const RbWriterOptions options = { .width = WIDTH,
                                      .height = HEIGHT,
                                      .rate = rate,
                                      .crf = 20,
                                      .gop = 15,
                                      .b_frames = -1,
                                      .threads = 1 };
    g_autoptr(RbFilmWriter) writer = rb_film_writer_open(path, &options, NULL, error);
    for (int i = 0; writer != NULL && i < frames; i++) {
        RbWriterFrame frame;
        if (!rb_film_writer_next(writer, &frame, error)) {
            return false;
        }
        paint(&frame);
        if (!rb_film_writer_push(writer, error)) {
            return false;
        }
    }
    return writer != NULL && rb_film_writer_finish(writer, error);
}

static RbSnap *make_snap(int index)
{
    const bool first_game = index < RB_SAMPLE_SNAPS - 8;
    RbSnap *snap =
        rb_snap_new(rb_sample_snap_id(index + 1), games[!first_game],
                    first_game ? index + 1 : index - (RB_SAMPLE_SNAPS - 8) + 1);
    snap->situation.quarter = 1 + index * 4 / RB_SAMPLE_SNAPS;
    snap->situation.clock_s = 900 - 30 * index;
    snap->situation.down = 1 + index % 3;
    snap->situation.distance = index % 3 == 0 ? 10 : 10 - index % 7;
    snap->situation.yards_to_goal = 75 - 2 * index;
    snap->situation.hash = RB_HASH_LEFT;
    snap->situation.offense = us;
    snap->quarterback = quarterback;
    snap->play = index % 9 == 8 ? RB_PLAY_RUN : RB_PLAY_DROPBACK;
    snap->result = index % 9 == 8   ? RB_RESULT_RUN
                   : index % 4 == 3 ? RB_RESULT_INCOMPLETE
                                    : RB_RESULT_COMPLETE;
    snap->has_gain = RB_YES;
    snap->gain = index % 4 == 3 ? 0 : index % 12;
    return snap;
}

static RbChart *make_chart(const RbNames *names, RbSnapId snap, RbPersonId person,
                           int index)
{
    RbChart *chart = rb_chart_new(snap, person);
    const RbConcept *concept = rb_names_parse_concept(names, concepts[index % 4], NULL);
    const RbTerm *coverage =
        rb_names_parse_term(names, RB_TERM_COVERAGE, coverages[index % 3], NULL);
    chart->call = (RbCall){ .kind = RB_CALL_SINGLE,
                            .first = concept->id,
                            .first_side = RB_SIDE_LEFT };
    chart->side_worked = RB_SIDE_LEFT;
    chart->shown.shell = RB_SHELL_TWO_HIGH;
    chart->shown.rotation = RB_ROTATION_NONE;
    chart->shown.left =
        (RbSideShown){ RB_TECHNIQUE_OFF, 70, RB_LEVERAGE_INSIDE, 0, -1, 0 };
    chart->shown.right = chart->shown.left;
    chart->played.coverage = coverage->id;
    chart->played.rotation = RB_ROTATION_NONE;
    chart->played.left = chart->played.right = RB_TECHNIQUE_OFF;
    chart->played.safety_left = chart->played.safety_right = RB_NO;
    chart->played.rushers = 4;
    chart->played.unblocked = RB_NO;
    chart->adjusted = RB_NO;
    for (int i = 0; i < RB_READS_MAX; i++) {
        chart->looks[i] = (index + i) % 2 == 0 ? RB_LOOK_OPEN : RB_LOOK_COVERED;
    }
    chart->ball = RB_BALL_READ;
    chart->ball_read = 1 + index % 2;
    chart->release_ms = 2000 + 50 * index;
    chart->pressure = RB_PRESSURE_NONE;
    chart->movement = RB_MOVEMENT_NONE;
    chart->contact = RB_CONTACT_NONE;
    chart->throw_ = RB_THROW_ON_TARGET;
    chart->catch_ = index % 4 == 3 ? RB_CATCH_BROKEN_UP : RB_CATCH_CAUGHT;
    chart->fault = RB_FAULT_NONE;
    return chart;
}

static bool save_staff(RbStore *store, RbPersonId person, GError **error)
{
    g_autoptr(RbPerson) charter = rb_person_new(person, "Sam");
    g_autoptr(RbTeam) ours = rb_team_new(us, "Cedar Grove", true);
    g_autoptr(RbTeam) theirs = rb_team_new(them, "Elm Fork", false);
    g_autoptr(RbPlayer) player = rb_player_new(quarterback, us, "12", NULL);
    bool ok = rb_store_save_person(store, charter, error) &&
              rb_store_save_team(store, ours, error) &&
              rb_store_save_team(store, theirs, error) &&
              rb_store_save_player(store, player, error);
    for (int i = 0; ok && i < 2; i++) {
        g_autoptr(RbGame) game =
            rb_game_new(games[i], i == 0 ? "Week 2 at Elm Fork" : "Week 1, scrimmage");
        g_free(game->played_on);
        game->played_on = g_strdup(i == 0 ? "2026-09-12" : "2026-09-05");
        game->us = us;
        game->them = them;
        game->ours_only = true;
        ok = rb_store_save_game(store, game, error);
    }
    return ok;
}

static bool save_snaps(RbStore *store, const RbNames *names, RbPersonId person,
                       GError **error)
{
    bool ok = true;
    for (int i = 0; ok && i < RB_SAMPLE_SNAPS; i++) {
        g_autoptr(RbSnap) snap = make_snap(i);
        g_autoptr(RbChart) chart = make_chart(names, snap->id, person, i);
        ok = rb_store_save_snap(store, snap, error) &&
             (snap->play == RB_PLAY_RUN || rb_store_save_chart(store, chart, error));
    }
    return ok;
}

/* Returns the film's id; 0 with `error` set. */
static RbFilmId add_film(RbLibrary *library, const char *path, RbAngle angle,
                         GError **error)
{
    g_autoptr(RbFilmLook) look = rb_film_look(path, NULL, NULL, error);
    if (look == NULL ||
        !rb_library_add_film(library, look, angle, games[0], NULL, error)) {
        return (RbFilmId){ 0 };
    }
    return look->film;
}

static void add_mark(RbClip *clip, RbMarkKind kind, int64_t frame, RbRational rate)
{
    const RbMark mark = { .clip = clip->id,
                          .kind = kind,
                          .frame = frame,
                          .time = { frame, { rate.den, rate.num } } };
    g_array_append_val(clip->marks, mark);
}

static bool save_clips(RbStore *store, const RbFilmId films[2], GError **error)
{
    static const RbAngle angles[] = { RB_ANGLE_WIDE, RB_ANGLE_TIGHT };
    static const int lengths[] = { RB_SAMPLE_WIDE_LENGTH, RB_SAMPLE_TIGHT_LENGTH };
    static const int snaps[] = { RB_SAMPLE_WIDE_SNAP, RB_SAMPLE_TIGHT_SNAP };
    bool ok = true;
    for (int i = 0; ok && i < 2 * RB_SAMPLE_FILMED; i++) {
        const int camera = i % 2;
        const RbRational rate = { camera == 0 ? 30 : 60, 1 };
        g_autoptr(RbClip) clip =
            rb_clip_new((RbClipId){ 5000 + i }, rb_sample_snap_id(i / 2 + 1),
                        films[camera], angles[camera]);
        clip->first = (i / 2) * lengths[camera];
        clip->last = clip->first + lengths[camera] - 1;
        clip->first_time = (RbTime){ clip->first, { rate.den, rate.num } };
        clip->last_time = (RbTime){ clip->last, { rate.den, rate.num } };
        add_mark(clip, RB_MARK_SNAP, clip->first + snaps[camera], rate);
        add_mark(clip, RB_MARK_RELEASE, clip->first + snaps[camera] + rate.num, rate);
        ok = rb_store_save_clip(store, clip, error);
    }
    return ok;
}

static bool add_films(const char *path, GError **error)
{
    g_autofree char *folder = g_path_get_dirname(path);
    g_autofree char *wide = g_build_filename(folder, "wide.mp4", NULL);
    g_autofree char *tight = g_build_filename(folder, "tight.mp4", NULL);
    if (!write_film(wide, (RbRational){ 30, 1 }, RB_SAMPLE_FILMED * RB_SAMPLE_WIDE_LENGTH,
                    error) ||
        !write_film(tight, (RbRational){ 60, 1 },
                    RB_SAMPLE_FILMED * RB_SAMPLE_TIGHT_LENGTH, error)) {
        return false;
    }
    g_autoptr(RbLibrary) library = rb_library_open(path, "Sam", error);
    if (library == NULL) {
        return false;
    }
    const RbFilmId films[2] = { add_film(library, wide, RB_ANGLE_WIDE, error),
                                films[0].value != 0
                                    ? add_film(library, tight, RB_ANGLE_TIGHT, error)
                                    : (RbFilmId){ 0 } };
    if (films[0].value == 0 || films[1].value == 0) {
        return false;
    }
    g_clear_pointer(&library, rb_library_close);
    g_autoptr(RbStore) store = rb_store_open(path, error);
    return store != NULL && rb_store_begin(store, (RbPersonId){ 0 }, "Clips", error) &&
           save_clips(store, films, error) && rb_store_commit(store, error);
}

bool rb_sample_library_make(const char *path, bool film, GError **error)
{
    g_autoptr(RbLibrary) library = rb_library_create(path, "Sam", error);
    if (library == NULL) { /* a new library has the starter playbook */
        return false;
    }
    g_autoptr(RbNames) names = rb_library_load_names(library, error);
    const RbPersonId person = rb_library_get_person(library);
    g_clear_pointer(&library, rb_library_close);
    if (names == NULL) {
        return false;
    }
    g_autoptr(RbStore) store = rb_store_open(path, error);
    if (store == NULL || !rb_store_begin(store, person, "Sample", error) ||
        !save_staff(store, person, error) || !save_snaps(store, names, person, error) ||
        !rb_store_commit(store, error)) {
        return false;
    }
    g_clear_pointer(&store, rb_store_free);
    return !film || add_films(path, error);
}
