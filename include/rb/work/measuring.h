/* SPDX-License-Identifier: GPL-3.0-or-later */
#pragma once

#include "rb/base/cancel.h"
#include "rb/base/jobs.h"
#include "rb/field/calibration.h"
#include "rb/field/carry.h"
#include "rb/field/measure.h"
#include "rb/film/reel.h"
#include "rb/model/film-measure.h"
#include "rb/model/film.h"
#include "rb/model/game.h"
#include "rb/work/library.h"

/* Measuring on the film: what a frame shows of the field, what is measured on it, and the times
 * between marks. */

/* The calibration that the marks of a view give; false with a sentence. */
bool rb_field_view_fit(const RbFieldView *view, RbCalibration *calibration,
                       GError **error);
/* The marks of a view, as many as it has sights. False with a sentence that names the one that its
 * field does not have. */
bool rb_field_view_marks(const RbFieldView *view, RbFieldMark *marks, GError **error);
/* What a coach should know of a view that could be fitted: the mark that fits worst, when it is
 * far off the others, and that the field is likely another one than was said. NULL: nothing.
 * Returns: (transfer full) (nullable): one sentence or two. */
char *rb_field_view_doubt(const RbFieldView *view, const RbCalibration *calibration);

/* What is measured: clicks on one frame or two. */
typedef struct {
    RbMeasureKind kind;
    RbRules rules;
    RbClick clicks[2]; /* as many as rb_measure_places() says */
    const char *name;  /* borrowed: of the landmark; else NULL */
    double seconds;    /* between the clicks, of a speed, and its standard deviation */
    double seconds_sd;
} RbMeasureAsk;

/* Yards, or yards a second; never below 0. False with a sentence. */
bool rb_measuring_take(const RbMeasureAsk *ask, RbUncertain *measured, GError **error);
/* Puts it into the measure: value and standard deviation. */
void rb_film_measure_set(RbFilmMeasure *measure, const RbUncertain *measured);

typedef enum { RB_UNIT_YARDS, RB_UNIT_FEET, RB_UNIT_METRES } RbLengthUnit;
extern const RbWords rb_length_unit_words; /* yd, ft, m */
/* The value and the half width of its 80 % interval in another unit. */
void rb_film_measure_in(const RbFilmMeasure *measure, RbLengthUnit unit, double *value,
                        double *pm);
/* "6.2 ± 0.4 yd", "8.1 ± 0.3 yd/s". Returns: (transfer full). */
char *rb_film_measure_text(const RbFilmMeasure *measure, RbLengthUnit unit);
/* What is measured, with its side or landmark: "Left cushion", "To the near hash at the left 35".
 * Returns: (transfer full). */
char *rb_film_measure_what(const RbFilmMeasure *measure, RbRules rules);
/* True if the picture that a chart shows has this cushion or split from this measure. */
bool rb_film_measure_feeds(const RbFilmMeasure *measure, const RbChart *chart);
/* One line a measure, with a head: snap, angle, what, side, to, value, plus or minus, unit.
 * clips: of the measures, to name the angle. Returns: (transfer full). */
char *rb_film_measures_csv(const GPtrArray *measures, const GPtrArray *snaps,
                           const GPtrArray *clips, RbLengthUnit unit);

/* ---- times between marks */

/* How long the picture of a mark is shown, in seconds: of its frame, or of its field where the
 * film has two moments a frame. 0 or below: not known, and an average is taken. */
typedef double (*RbMomentLength)(const RbMark *mark, void *data);

typedef struct {
    RbMarkKind from;
    RbMarkKind to;
    RbUncertain seconds;
} RbMarkTime;

#define RB_MARK_TIMES_MAX 4
/* Snap to top of drop, release and arrival, and the flight; those whose marks are set and follow
 * each other. length: (nullable). Returns how many. */
int rb_clip_times(const RbClip *clip, RbMomentLength length, void *data,
                  RbMarkTime times[RB_MARK_TIMES_MAX]);

/* The length of a mark's picture from the film itself, whatever its rate does: an RbMomentLength
 * with an RbReel as its data, ready. */
double rb_reel_moment_length(const RbMark *mark, void *reel);

/* ---- along the film */

typedef struct {
    RbCalibration calibration;
    RbCarryState state;
    double looseness; /* yards: see rb/field/carry.h */
} RbCarriedView;

/* A calibration on its way along a film. It remembers the frames it came by: to ask for one of them
 * again costs nothing, to go on only what is new. One thread at a time. */
typedef struct RbTrail RbTrail;
/* sharpen: it is drawn onto the painted lines of its own frame first. reel: borrowed, ready. */
RbTrail *rb_trail_new(RbReel *reel, RbRules rules, const RbCalibration *calibration,
                      int64_t from, bool sharpen);
void rb_trail_free(RbTrail *trail); /* NULL is allowed */
/* Waits for the film: never on the window's main thread. What was done before it was cancelled is
 * not lost. progress, cancel: (nullable). False with a sentence when a picture is missing; a view that
 * could not be followed is `state`. */
bool rb_trail_go(RbTrail *trail, int64_t to, RbCarriedView *carried, RbProgress *progress,
                 RbCancel *cancel, GError **error);
G_DEFINE_AUTOPTR_CLEANUP_FUNC(RbTrail, rb_trail_free)
/* Carries a calibration from one frame of a film to another, either way. Waits for the film: never
 * on the window's main thread. sharpen: it is drawn onto the painted lines of its own frame
 * first. reel: ready. cancel: (nullable). False with a sentence when a picture is missing; a view
 * that could not be followed is `state`. */
bool rb_film_carry(RbReel *reel, RbRules rules, const RbCalibration *calibration,
                   int64_t from, int64_t to, bool sharpen, RbCarriedView *carried,
                   RbCancel *cancel, GError **error);

/* ---- kept with the snap; each change is one action that can be undone */

/* Returns: (transfer full): of RbFieldView, by frame; of RbFilmMeasure. */
GPtrArray *rb_library_load_field_views(RbLibrary *library, RbFilmId film, GError **error);
GPtrArray *rb_library_load_measures(RbLibrary *library, RbSnapId snap, GError **error);
/* game: 0 for all. */
GPtrArray *rb_library_load_game_measures(RbLibrary *library, RbGameId game,
                                         GError **error);
/* Keeps a measure, in one action with the view it was made on (nullable) and, for a cushion or
 * split with a side, the tags of the person's chart: its value and its plus or minus. Measured again
 * on the same clip it takes the place of the first. A split that the person has told, not measured,
 * stays as told: the words say so. words: (out) (nullable) (transfer full): as the history says
 * it. */
bool rb_library_save_measure(RbLibrary *library, const RbFieldView *view,
                             const RbFilmMeasure *measure, char **words, GError **error);
/* A cushion or split that feeds the person's picture is taken out of that too. */
bool rb_library_remove_measure(RbLibrary *library, RbFilmMeasureId id, GError **error);
