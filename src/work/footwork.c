/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "config.h"

#include "rb/work/footwork.h"

#include <glib/gi18n-lib.h>
#include <string.h>

#include "rb/base/error.h"
#include "rb/base/told.h"
#include "rb/store/playbook.h"
#include "rb/work/error.h"

#include "library-private.h"

enum { NONE = -1 };

/* What is not so many steps: one value of the table each. */
typedef struct {
    int steps; /* RB_FOOTWORK_HITCH and so on */
    const char *key;
    const char *thing;
    bool is_added; /* to a drop: short */
    size_t offset; /* in RbFootwork */
} Special;

static const Special specials[] = {
    { RB_FOOTWORK_HITCH, "hitch", N_("a hitch"), true, offsetof(RbFootwork, hitch_ms) },
    { RB_FOOTWORK_FAKE, "fake", N_("a play fake"), true, offsetof(RbFootwork, fake_ms) },
    { RB_FOOTWORK_BOOT, "boot", N_("a boot"), false, offsetof(RbFootwork, boot_ms) },
    { RB_FOOTWORK_SPRINT, "sprint", N_("a sprint out"), false,
      offsetof(RbFootwork, sprint_ms) },
};

/* NULL for steps. */
static const Special *find_special(int steps)
{
    for (size_t i = 0; i < G_N_ELEMENTS(specials); i++) {
        if (specials[i].steps == steps) {
            return &specials[i];
        }
    }
    return NULL;
}

/* "centre-3", "hitch", "boot". */
static void write_key(char key[16], RbBackfield backfield, int steps)
{
    const Special *special = find_special(steps);
    if (special != NULL) {
        g_strlcpy(key, special->key, 16);
    } else {
        g_snprintf(key, 16, "%s-%d", rb_words_token(&rb_backfield_words, (int)backfield),
                   steps);
    }
}

static bool parse_key(const char *text, RbBackfield *backfield, int *steps)
{
    static const RbBackfield backfields[] = { RB_BACKFIELD_CENTRE, RB_BACKFIELD_GUN };
    char key[16];
    for (guint i = 0; i < G_N_ELEMENTS(backfields); i++) {
        for (int n = RB_FOOTWORK_SPRINT; n <= RB_STEPS_MAX; n++) {
            write_key(key, backfields[i], n);
            if (g_ascii_strcasecmp(key, text) == 0) {
                *backfield = backfields[i];
                *steps = n;
                return true;
            }
        }
    }
    return false;
}

/* "3 steps from centre", "a hitch". Returns: told (transfer full). */
static char *tell_thing(RbBackfield backfield, int steps)
{
    const Special *special = find_special(steps);
    if (special != NULL) {
        return rb_told_word(special->thing);
    }
    return backfield == RB_BACKFIELD_GUN
               ? rb_told_many("%d step from the gun", "%d steps from the gun",
                              (gulong)steps, steps)
               : rb_told_many("%d step from centre", "%d steps from centre",
                              (gulong)steps, steps);
}

static char *thing_text(RbBackfield backfield, int steps)
{
    g_autofree char *told = tell_thing(backfield, steps);
    return rb_told_show(told);
}

static int get_value(const RbFootwork *footwork, RbBackfield backfield, int steps)
{
    const Special *special = find_special(steps);
    if (special != NULL) {
        return *(const int *)((const char *)footwork + special->offset);
    }
    for (int i = 0; i < footwork->n; i++) {
        const RbFootworkRow *row = &footwork->rows[i];
        if (row->backfield == backfield && row->steps == steps) {
            return row->ms;
        }
    }
    return NONE;
}

/* Takes the row out with NONE, else sets or adds it. */
static void set_value(RbFootwork *footwork, RbBackfield backfield, int steps, int ms)
{
    int at = 0;
    const Special *special = find_special(steps);
    if (special != NULL) {
        *(int *)((char *)footwork + special->offset) = ms;
        return;
    }
    while (at < footwork->n && (footwork->rows[at].backfield != backfield ||
                                footwork->rows[at].steps != steps)) {
        at++;
    }
    if (ms == NONE) {
        if (at < footwork->n) {
            footwork->rows[at] = footwork->rows[--footwork->n];
        }
        return;
    }
    footwork->n = MAX(footwork->n, at + 1);
    footwork->rows[at] = (RbFootworkRow){ backfield, steps, ms };
}

static void add_line(GArray *lines, const RbFootwork *footwork, RbBackfield backfield,
                     int steps)
{
    RbFootworkLine line = {
        .backfield = backfield,
        .steps = steps,
        .ms = get_value(footwork, backfield, steps),
        .default_ms = get_value(rb_footwork_defaults(), backfield, steps),
        .source = rb_footwork_default_source(backfield, steps),
    };
    if (line.ms == NONE) {
        return;
    }
    line.ours = line.ms != line.default_ms;
    write_key(line.key, backfield, steps);
    g_array_append_val(lines, line);
}

GArray *rb_footwork_lines(const RbFootwork *footwork)
{
    GArray *lines = g_array_new(FALSE, FALSE, sizeof(RbFootworkLine));
    for (int steps = 1; steps <= RB_STEPS_MAX; steps++) {
        add_line(lines, footwork, RB_BACKFIELD_CENTRE, steps);
    }
    for (int steps = 1; steps <= RB_STEPS_MAX; steps++) {
        add_line(lines, footwork, RB_BACKFIELD_GUN, steps);
    }
    for (size_t i = 0; i < G_N_ELEMENTS(specials); i++) {
        add_line(lines, footwork, RB_BACKFIELD_GUN, specials[i].steps);
    }
    return lines;
}

char *rb_footwork_line_text(const RbFootworkLine *line)
{
    return thing_text(line->backfield, line->steps);
}

char *rb_footwork_mark_text(const RbFootworkLine *line)
{
    if (!line->ours) {
        return g_strdup_printf(_("default: %s"), line->source);
    }
    return line->default_ms != NONE ? g_strdup_printf(_("ours; the default is %.2f s"),
                                                      line->default_ms / 1000.0)
                                    : g_strdup(_("ours; there is no default"));
}

/* "2.35" is 2350. False for anything that is no plain decimal number. */
static bool parse_seconds(const char *text, int *ms)
{
    const size_t length = strlen(text);
    const char *dot = strchr(text, '.');
    if (length == 0 || length > 6 || strspn(text, "0123456789.") != length ||
        (dot != NULL &&
         (dot == text || dot[1] == '\0' || strchr(dot + 1, '.') != NULL))) {
        return false;
    }
    *ms = (int)(g_ascii_strtod(text, NULL) * 100.0 + 0.5) * 10;
    return true;
}

static bool is_added(int steps)
{
    const Special *special = find_special(steps);
    return special != NULL && special->is_added;
}

static bool refuse_value(GError **error, RbBackfield backfield, int steps,
                         const char *text)
{
    const bool added = is_added(steps);
    g_autofree char *thing = thing_text(backfield, steps);
    return rb_error_set(
        error, RB_WORK_ERROR, RB_WORK_ERROR_VALUE,
        _("The time of %s cannot be \"%s\": give seconds from %g to %g, "
          "such as %s, or \"default\"."),
        thing, text, (added ? RB_HITCH_MS_MIN : RB_FOOTWORK_MS_MIN) / 1000.0,
        (added ? RB_HITCH_MS_MAX : RB_FOOTWORK_MS_MAX) / 1000.0, added ? "0.4" : "2.35");
}

static bool in_range(int steps, int ms)
{
    return is_added(steps) ? ms >= RB_HITCH_MS_MIN && ms <= RB_HITCH_MS_MAX
                           : ms >= RB_FOOTWORK_MS_MIN && ms <= RB_FOOTWORK_MS_MAX;
}

bool rb_footwork_assign(RbFootwork *footwork, const char *text, GError **error)
{
    RbBackfield backfield = RB_BACKFIELD_GUN;
    int steps = 0;
    int ms = 0;
    const char *equals = strchr(text, '=');
    if (equals == NULL) {
        return rb_error_set(
            error, RB_WORK_ERROR, RB_WORK_ERROR_VALUE,
            _("\"%s\" sets nothing: write KEY=SECONDS, such as gun-3=2.35."), text);
    }
    g_autofree char *key = g_strndup(text, (gsize)(equals - text));
    if (!parse_key(key, &backfield, &steps)) {
        return rb_error_set(
            error, RB_WORK_ERROR, RB_WORK_ERROR_NOT_FOUND,
            _("There is no footwork \"%s\": it is centre or gun with 1 to "
              "%d steps, such as centre-5 or gun-3, or hitch, fake, boot or "
              "sprint."),
            key, RB_STEPS_MAX);
    }
    const char *value = equals + 1;
    if (g_ascii_strcasecmp(value, "default") == 0) {
        ms = get_value(rb_footwork_defaults(), backfield, steps);
    } else if (!parse_seconds(value, &ms) || !in_range(steps, ms)) {
        return refuse_value(error, backfield, steps, value);
    }
    set_value(footwork, backfield, steps, ms);
    return true;
}

bool rb_footwork_check(const RbFootwork *footwork, GError **error)
{
    g_autoptr(GArray) lines = rb_footwork_lines(footwork);
    for (guint i = 1; i < lines->len; i++) {
        const RbFootworkLine *fewer = &g_array_index(lines, RbFootworkLine, i - 1);
        const RbFootworkLine *more = &g_array_index(lines, RbFootworkLine, i);
        if (more->steps > RB_FOOTWORK_HITCH && more->backfield == fewer->backfield &&
            more->ms <= fewer->ms) {
            g_autofree char *thing = thing_text(more->backfield, more->steps);
            return rb_error_set(
                error, RB_WORK_ERROR, RB_WORK_ERROR_VALUE,
                ngettext(
                    "%c%s would take %.2f s and %d step %.2f s: more steps must take "
                    "more time, so change both.",
                    "%c%s would take %.2f s and %d steps %.2f s: more steps must take "
                    "more time, so change both.",
                    (gulong)fewer->steps),
                g_ascii_toupper(thing[0]), thing + 1, more->ms / 1000.0, fewer->steps,
                fewer->ms / 1000.0);
        }
    }
    return true;
}

/* Calls `visit` with every value that a table can have. */
typedef bool (*Visit)(RbBackfield backfield, int steps, void *data, GError **error);

static bool visit_all(Visit visit, void *data, GError **error)
{
    for (int steps = 1; steps <= RB_STEPS_MAX; steps++) {
        if (!visit(RB_BACKFIELD_CENTRE, steps, data, error) ||
            !visit(RB_BACKFIELD_GUN, steps, data, error)) {
            return false;
        }
    }
    for (size_t i = 0; i < G_N_ELEMENTS(specials); i++) {
        if (!visit(RB_BACKFIELD_GUN, specials[i].steps, data, error)) {
            return false;
        }
    }
    return true;
}

/* "footwork.centre-3". Returns: (transfer full). */
static char *setting_name(RbBackfield backfield, int steps)
{
    char key[16];
    write_key(key, backfield, steps);
    return g_strconcat("footwork.", key, NULL);
}

typedef struct {
    RbStore *store;
    RbFootwork *footwork;
} Load;

/* A value that makes no sense, as a damaged or a later version's parcel may bring, is not
 * taken: the default stands, and is shown as such. */
static bool load_value(RbBackfield backfield, int steps, void *data, GError **error)
{
    const Load *load = data;
    g_autoptr(GError) failure = NULL;
    g_autofree char *name = setting_name(backfield, steps);
    g_autofree char *value = rb_store_get_setting(load->store, name, &failure);
    gint64 ms = 0;
    if (failure != NULL) {
        g_propagate_error(error, g_steal_pointer(&failure));
        return false;
    }
    if (value != NULL &&
        g_ascii_string_to_signed(value, 10, 0, RB_FOOTWORK_MS_MAX, &ms, NULL) &&
        in_range(steps, (int)ms)) {
        set_value(load->footwork, backfield, steps, (int)ms);
    }
    return true;
}

bool rb_footwork_load(RbStore *store, RbFootwork *footwork, GError **error)
{
    *footwork = *rb_footwork_defaults();
    return visit_all(load_value, &(Load){ store, footwork }, error);
}

typedef struct {
    RbStore *store;
    const RbFootwork *from;
    const RbFootwork *to;
    GString
        *words; /* told: what differs; while `store` is NULL that is all that is asked */
} Change;

/* words: told. */
static void say_change(GString *words, const char *thing, int from, int to)
{
    g_autofree char *start = words->len > 0 ? g_strdup("; ") : rb_told("Footwork: ");
    g_autofree char *now = to == NONE ? rb_told_in("time of footwork", "taken out")
                                      : rb_told("%.2f s", to / 1000.0);
    g_autofree char *before = to != NONE && from != NONE
                                  ? rb_told(" instead of %.2f s", from / 1000.0)
                                  : g_strdup("");
    g_autofree char *said = g_strconcat(start, thing, " ", now, before, NULL);
    g_string_append(words, said);
}

static bool change_value(RbBackfield backfield, int steps, void *data, GError **error)
{
    const Change *change = data;
    const int from = get_value(change->from, backfield, steps);
    const int to = get_value(change->to, backfield, steps);
    if (from == to) {
        return true;
    }
    if (change->store == NULL) {
        g_autofree char *thing = tell_thing(backfield, steps);
        say_change(change->words, thing, from, to);
        return true;
    }
    const bool is_default =
        to == NONE || to == get_value(rb_footwork_defaults(), backfield, steps);
    g_autofree char *name = setting_name(backfield, steps);
    g_autofree char *value = g_strdup_printf("%d", to);
    return rb_store_set_setting(change->store, name, is_default ? NULL : value, error);
}

bool rb_library_set_footwork(RbLibrary *library, const RbFootwork *footwork, char **words,
                             GError **error)
{
    g_autoptr(RbNames) names = rb_library_load_names(library, error);
    if (names == NULL || !rb_footwork_check(footwork, error)) {
        return false;
    }
    g_autoptr(GString) text = g_string_new(NULL);
    Change change = { NULL, rb_names_footwork(names), footwork, text };
    visit_all(change_value, &change, NULL);
    if (text->len > 0) {
        if (!rb_library_begin(library, text->str, error)) {
            return false;
        }
        change.store = rb_library_store(library);
        if (!visit_all(change_value, &change, error)) {
            rb_library_rollback(library);
            return false;
        }
        if (!rb_library_commit(library, true, error)) {
            return false;
        }
    }
    if (words != NULL) {
        *words = text->len > 0 ? rb_told_show(text->str) : NULL;
    }
    return true;
}
