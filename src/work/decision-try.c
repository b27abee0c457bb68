/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "config.h"

#include "rb/work/decision-try.h"

#include <glib/gi18n-lib.h>

#include "rb/base/error.h"
#include "rb/work/error.h"

void rb_try_new(const RbConcept *concept, RbSnap **snap, RbChart **chart)
{
    *snap = rb_snap_new((RbSnapId){ 1 }, (RbGameId){ 0 }, 1);
    (*snap)->play = RB_PLAY_DROPBACK;
    *chart = rb_chart_new((RbSnapId){ 1 }, (RbPersonId){ 1 });
    (*chart)->call =
        (RbCall){ .kind = concept->full_field ? RB_CALL_SINGLE : RB_CALL_MIRRORED,
                  .first = concept->id,
                  .first_side = RB_SIDE_RIGHT };
    (*chart)->side_worked = RB_SIDE_RIGHT;
    (*chart)->played.unblocked = RB_NO;
    (*chart)->pressure = RB_PRESSURE_NONE;
    (*chart)->movement = RB_MOVEMENT_NONE;
    (*chart)->contact = RB_CONTACT_NONE;
    (*chart)->fault = RB_FAULT_NONE;
}

void rb_try_fill_played(RbChart *chart)
{
    RbPicturePlayed *played = &chart->played;
    if (played->rotation == RB_ROTATION_UNKNOWN) {
        played->rotation = chart->shown.rotation;
    }
    if (played->left == RB_TECHNIQUE_UNKNOWN) {
        played->left = chart->shown.left.technique;
    }
    if (played->right == RB_TECHNIQUE_UNKNOWN) {
        played->right = chart->shown.right.technique;
    }
}

/* A value as the text that a tag is set from. Returns: (transfer full) (nullable). */
static char *text_of(const json_t *value)
{
    if (json_is_string(value)) {
        return g_strdup(json_string_value(value));
    }
    if (json_is_integer(value)) {
        return g_strdup_printf("%" JSON_INTEGER_FORMAT, json_integer_value(value));
    }
    if (json_is_real(value)) {
        char digits[G_ASCII_DTOSTR_BUF_SIZE];
        return g_strdup(
            g_ascii_formatd(digits, sizeof digits, "%.10g", json_real_value(value)));
    }
    return NULL;
}

static bool take_tag(const RbNames *names, const char *token, const json_t *value,
                     RbSnap *snap, RbChart *chart, GError **error)
{
    const RbTaggable *field = rb_taggable_parse(token, error);
    if (field == NULL) {
        return false;
    }
    g_autofree char *text = text_of(value);
    if (text == NULL) {
        return rb_error_set(error, RB_WORK_ERROR, RB_WORK_ERROR_VALUE,
                            _("\"%s\" must be a text or a number."), token);
    }
    return rb_taggable_set(field, names, snap, chart, text, error);
}

bool rb_try_take_json(const RbNames *names, const json_t *root, const char *source,
                      RbSnap *snap, RbChart *chart, GError **error)
{
    const json_t *inner = json_object_get(root, "tags");
    json_t *tags = (json_t *)(inner != NULL ? inner : root);
    if (!json_is_object(tags)) {
        return rb_error_set(error, RB_WORK_ERROR, RB_WORK_ERROR_VALUE,
                            _("%s holds no object of tags, such as {\"coverage\": "
                              "\"cover-2\", \"read-1\": \"open\"}."),
                            source);
    }
    const char *token = NULL;
    json_t *value = NULL;
    json_object_foreach(tags, token, value)
    {
        if (!take_tag(names, token, value, snap, chart, error)) {
            g_prefix_error(error, "%s: ", source);
            return false;
        }
    }
    return true;
}
