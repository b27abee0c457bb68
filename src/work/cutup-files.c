/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "config.h"

#include <glib/gi18n-lib.h>
#include <jansson.h>
#include <string.h>

#include "rb/base/error.h"
#include "rb/work/cutups.h"
#include "rb/work/error.h"

/* The list for other programs. Sources: W3C WebVTT (Candidate Recommendation, 4 April 2019);
 * OpenTimelineIO's serialised schemas Timeline.1, Stack.1, Track.1, Clip.2, ExternalReference.1,
 * Marker.2, LinearTimeWarp.1, TimeRange.1, RationalTime.1; RFC 4180; FFmpeg's documentation of
 * its metadata files. */

#define SECOND_US INT64_C(1000000)

/* Calls `write` for each clip that is shown, with its start and end in the exported film. */
typedef void (*WriteClip)(GString *text, const RbCutupPlan *plan, guint number,
                          int64_t start_us, int64_t end_us);

static void each_clip(GString *text, const RbCutupPlan *plan, bool cards, WriteClip write)
{
    int64_t at = 0;
    for (guint i = 0; i < plan->clips->len; i++) {
        const int64_t us = rb_cutup_clip_us(plan->clips->pdata[i], cards);
        if (us > 0) {
            write(text, plan, i, at, at + us);
            at += us;
        }
    }
}

/* ---- WebVTT */

/* WebVTT, 4.1: hours of two or more digits, then minutes, seconds, thousandths. */
static void append_time(GString *text, int64_t us)
{
    const int64_t ms = (us + 500) / 1000;
    g_string_append_printf(text,
                           "%02" G_GINT64_FORMAT ":%02" G_GINT64_FORMAT
                           ":%02" G_GINT64_FORMAT ".%03" G_GINT64_FORMAT,
                           ms / 3600000, ms / 60000 % 60, ms / 1000 % 60, ms % 1000);
}

/* WebVTT, 4.2.1 and 4.2.2: cue text has no line end of its own here, no "-->", and & and < as
 * escapes. */
static void append_cue_text(GString *text, const char *words)
{
    for (const char *c = words; *c != '\0'; c++) {
        switch (*c) {
        case '&':
            g_string_append(text, "&amp;");
            break;
        case '<':
            g_string_append(text, "&lt;");
            break;
        case '>':
            g_string_append(text, "&gt;");
            break;
        case '\n':
        case '\r':
            g_string_append_c(text, ' ');
            break;
        default:
            g_string_append_c(text, *c);
        }
    }
}

static void append_cue_head(GString *text, guint number, int64_t start_us, int64_t end_us)
{
    g_string_append_printf(text, "\n%u\n", number + 1);
    append_time(text, start_us);
    g_string_append(text, " --> ");
    append_time(text, end_us);
    g_string_append_c(text, '\n');
}

static void write_chapter_cue(GString *text, const RbCutupPlan *plan, guint number,
                              int64_t start_us, int64_t end_us)
{
    const RbCutupClip *clip = plan->clips->pdata[number];
    append_cue_head(text, number, start_us, end_us);
    append_cue_text(text, clip->title);
    g_string_append_c(text, '\n');
}

char *rb_cutup_to_vtt(const RbCutupPlan *plan, bool cards)
{
    GString *text = g_string_new("WEBVTT\n");
    each_clip(text, plan, cards, write_chapter_cue);
    return g_string_free(text, FALSE);
}

static json_t *json_text(const char *text)
{
    g_autofree char *valid = g_utf8_make_valid(text != NULL ? text : "", -1);
    return json_string(valid);
}

static json_t *json_id_text(int64_t id)
{
    g_autofree char *digits = g_strdup_printf("%" G_GINT64_FORMAT, id);
    return json_string(digits);
}

static json_t *clip_object(const RbCutupPlan *plan, const RbCutupClip *clip)
{
    const RbCut *cut = &clip->entry->cut;
    json_t *object = json_object();
    json_object_set_new(object, "snap", json_id_text(clip->entry->snap.value));
    json_object_set_new(object, "title", json_text(clip->title));
    json_object_set_new(object, "subtitle", json_text(clip->subtitle));
    json_object_set_new(object, "film", json_text(clip->film_title));
    json_object_set_new(object, "first", json_integer(clip->first));
    json_object_set_new(object, "last", json_integer(clip->last));
    json_object_set_new(object, "speed", json_integer(cut->speed));
    json_object_set_new(object, "loops", json_integer(cut->loops));
    if (plan->names && clip->entry->note != NULL) {
        json_object_set_new(object, "note", json_text(clip->entry->note));
    }
    return object;
}

static void write_metadata_cue(GString *text, const RbCutupPlan *plan, guint number,
                               int64_t start_us, int64_t end_us)
{
    json_t *object = clip_object(plan, plan->clips->pdata[number]);
    char *json = json_dumps(object, JSON_COMPACT | JSON_ENSURE_ASCII);
    append_cue_head(text, number, start_us, end_us);
    /* Metadata text may be anything without a blank line or an arrow (WebVTT, 4.2.3). */
    for (const char *c = json; *c != '\0'; c++) {
        if (*c == '>') {
            g_string_append(text, "\\u003e");
        } else {
            g_string_append_c(text, *c);
        }
    }
    g_string_append_c(text, '\n');
    free(json);
    json_decref(object);
}

char *rb_cutup_to_vtt_metadata(const RbCutupPlan *plan, bool cards)
{
    GString *text = g_string_new("WEBVTT\n");
    each_clip(text, plan, cards, write_metadata_cue);
    return g_string_free(text, FALSE);
}

/* ---- FFmpeg metadata */

/* "Special characters ('=', ';', '#', '\' and a newline) must be escaped with a backslash." */
static void append_escaped(GString *text, const char *words)
{
    for (const char *c = words; *c != '\0'; c++) {
        if (strchr("=;#\\\n", *c) != NULL) {
            g_string_append_c(text, '\\');
        }
        g_string_append_c(text, *c);
    }
}

static void write_chapter(GString *text, const RbCutupPlan *plan, guint number,
                          int64_t start_us, int64_t end_us)
{
    const RbCutupClip *clip = plan->clips->pdata[number];
    g_string_append_printf(text,
                           "[CHAPTER]\nTIMEBASE=1/1000\nSTART=%" G_GINT64_FORMAT
                           "\nEND=%" G_GINT64_FORMAT "\ntitle=",
                           (start_us + 500) / 1000, (end_us + 500) / 1000);
    append_escaped(text, clip->title);
    g_string_append_c(text, '\n');
}

char *rb_cutup_to_ffmetadata(const RbCutupPlan *plan, bool cards)
{
    GString *text = g_string_new(";FFMETADATA1\ntitle=");
    append_escaped(text, plan->cutup->name);
    g_string_append_c(text, '\n');
    each_clip(text, plan, cards, write_chapter);
    return g_string_free(text, FALSE);
}

/* ---- CSV */

/* RFC 4180, 2: fields with commas, quotes or line ends in quotes, quotes doubled. A field that
 * a spreadsheet would take for a formula gets an apostrophe. */
static void append_field(GString *text, const char *field, bool last)
{
    const char *value = field != NULL ? field : "";
    const bool formula = value[0] != '\0' && strchr("=+-@\t\r", value[0]) != NULL;
    g_string_append_c(text, '"');
    if (formula) {
        g_string_append_c(text, '\'');
    }
    for (const char *c = value; *c != '\0'; c++) {
        if (*c == '"') {
            g_string_append_c(text, '"');
        }
        g_string_append_c(text, *c);
    }
    g_string_append(text, last ? "\"\r\n" : "\",");
}

static void write_row(GString *text, const RbCutupPlan *plan, guint number,
                      int64_t start_us, int64_t end_us)
{
    const RbCutupClip *clip = plan->clips->pdata[number];
    const RbCut *cut = &clip->entry->cut;
    g_string_append_printf(text, "%u,", number + 1);
    append_field(text, clip->title, false);
    append_field(text, clip->subtitle, false);
    append_field(text, clip->film_title, false);
    g_string_append_printf(text, "%" G_GINT64_FORMAT ",%" G_GINT64_FORMAT ",",
                           clip->first, clip->last);
    append_time(text, start_us);
    g_string_append_c(text, ',');
    append_time(text, end_us);
    g_string_append_printf(text, ",%s,%d,%d,",
                           rb_words_token(&rb_view_words, (int)cut->view), cut->speed,
                           cut->loops);
    append_field(text, plan->names ? clip->entry->note : NULL, true);
}

char *rb_cutup_to_csv(const RbCutupPlan *plan, bool cards)
{
    GString *text =
        g_string_new("clip,snap,situation,film,first frame,last frame,start,end,"
                     "view,speed,times,note\r\n");
    each_clip(text, plan, cards, write_row);
    return g_string_free(text, FALSE);
}

/* ---- OpenTimelineIO */

static json_t *rational_time(double value, double rate)
{
    return json_pack("{s:s, s:f, s:f}", "OTIO_SCHEMA", "RationalTime.1", "rate", rate,
                     "value", value);
}

static json_t *time_range(double start, double duration, double rate)
{
    return json_pack("{s:s, s:o, s:o}", "OTIO_SCHEMA", "TimeRange.1", "start_time",
                     rational_time(start, rate), "duration",
                     rational_time(duration, rate));
}

static double rate_of(const RbCutupClip *clip)
{
    return (double)SECOND_US / (double)MAX(clip->frame_us, 1);
}

static json_t *media_of(const RbCutupClip *clip)
{
    g_autofree char *uri =
        clip->path != NULL ? g_filename_to_uri(clip->path, NULL, NULL) : NULL;
    return json_pack("{s:s, s:s, s:o, s:n, s:{}}", "OTIO_SCHEMA", "ExternalReference.1",
                     "target_url", uri != NULL ? uri : "", "name",
                     json_text(clip->film_title), "available_range", "metadata");
}

static json_t *effects_of(const RbCutupClip *clip)
{
    json_t *effects = json_array();
    const int speed = clip->entry->cut.speed;
    if (speed != 100) {
        json_array_append_new(effects,
                              json_pack("{s:s, s:s, s:s, s:f, s:{}}", "OTIO_SCHEMA",
                                        "LinearTimeWarp.1", "name", "", "effect_name",
                                        "LinearTimeWarp", "time_scalar", speed / 100.0,
                                        "metadata"));
    }
    return effects;
}

static json_t *markers_of(const RbCutupClip *clip)
{
    json_t *markers = json_array();
    if (clip->freeze >= 0) {
        const double rate = rate_of(clip);
        json_array_append_new(
            markers, json_pack("{s:s, s:s, s:s, s:o, s:{}}", "OTIO_SCHEMA", "Marker.2",
                               "name", "Stand still", "color", "RED", "marked_range",
                               time_range((double)clip->freeze, 0.0, rate), "metadata"));
    }
    return markers;
}

static json_t *otio_clip(const RbCutupPlan *plan, const RbCutupClip *clip)
{
    const double frames = (double)(clip->last - clip->first + 1);
    json_t *media = json_object();
    json_object_set_new(media, "DEFAULT_MEDIA", media_of(clip));
    json_t *metadata = json_object();
    json_object_set_new(metadata, "readbreak", clip_object(plan, clip));
    return json_pack("{s:s, s:o, s:o, s:o, s:s, s:b, s:o, s:o, s:o}", "OTIO_SCHEMA",
                     "Clip.2", "name", json_text(clip->title), "source_range",
                     time_range((double)clip->first, frames, rate_of(clip)),
                     "media_references", media, "active_media_reference_key",
                     "DEFAULT_MEDIA", "enabled", 1, "effects", effects_of(clip),
                     "markers", markers_of(clip), "metadata", metadata);
}

char *rb_cutup_to_otio(const RbCutupPlan *plan)
{
    json_t *children = json_array();
    for (guint i = 0; i < plan->clips->len; i++) {
        const RbCutupClip *clip = plan->clips->pdata[i];
        for (int loop = 0; clip->missing == NULL && loop < clip->entry->cut.loops;
             loop++) {
            json_array_append_new(children, otio_clip(plan, clip));
        }
    }
    json_t *track =
        json_pack("{s:s, s:s, s:s, s:o, s:n, s:b, s:[], s:[], s:{}}", "OTIO_SCHEMA",
                  "Track.1", "name", "Film", "kind", "Video", "children", children,
                  "source_range", "enabled", 1, "effects", "markers", "metadata");
    json_t *stack =
        json_pack("{s:s, s:s, s:[o], s:n, s:b, s:[], s:[], s:{}}", "OTIO_SCHEMA",
                  "Stack.1", "name", "tracks", "children", track, "source_range",
                  "enabled", 1, "effects", "markers", "metadata");
    json_t *timeline = json_pack("{s:s, s:o, s:n, s:o, s:{}}", "OTIO_SCHEMA",
                                 "Timeline.1", "name", json_text(plan->cutup->name),
                                 "global_start_time", "tracks", stack, "metadata");
    char *dumped = json_dumps(timeline, JSON_INDENT(4) | JSON_REAL_PRECISION(12));
    char *text = g_strconcat(dumped, "\n", NULL);
    free(dumped);
    json_decref(timeline);
    return text;
}

bool rb_cutup_write_list(const RbCutupPlan *plan, const char *path, bool cards,
                         GError **error)
{
    g_autofree char *text = NULL;
    if (g_str_has_suffix(path, ".metadata.vtt")) {
        text = rb_cutup_to_vtt_metadata(plan, cards);
    } else if (g_str_has_suffix(path, ".vtt")) {
        text = rb_cutup_to_vtt(plan, cards);
    } else if (g_str_has_suffix(path, ".otio")) {
        text = rb_cutup_to_otio(plan);
    } else if (g_str_has_suffix(path, ".csv")) {
        text = rb_cutup_to_csv(plan, cards);
    } else if (g_str_has_suffix(path, ".ffmeta")) {
        text = rb_cutup_to_ffmetadata(plan, cards);
    } else {
        return rb_error_set(error, RB_WORK_ERROR, RB_WORK_ERROR_VALUE,
                            _("\"%s\" is not a kind of list: its name must end in .vtt, "
                              ".metadata.vtt, .otio, .csv or .ffmeta."),
                            path);
    }
    g_autoptr(GError) failure = NULL;
    if (!g_file_set_contents(path, text, -1, &failure)) {
        return rb_error_set(error, RB_WORK_ERROR, RB_WORK_ERROR_FAILED,
                            _("The list cannot be written (%s); choose another folder."),
                            failure->message);
    }
    return true;
}
