/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "config.h"

#include <glib/gi18n-lib.h>

#include "rb/work/cutups.h"
#include "rb/work/json.h"

#include "cli.h"

/* cutup: making one, and setting how it is shown. */

static bool read_word(const CliArgs *args, const char *option, const RbWords *words,
                      int *value, GError **error)
{
    const char *text = cli_value(args, option);
    if (text == NULL || rb_words_parse(words, text, value)) {
        return true;
    }
    g_autofree char *list = rb_words_list(words);
    return cli_usage_error(error, "--%s can be %s, not \"%s\".", option, list, text);
}

/* What the options say of it replaces what `cut` has. An empty --card is no card. */
static bool read_cut(const CliArgs *args, RbCut *cut, GError **error)
{
    int view = (int)cut->view;
    int start = (int)cut->start;
    int stop = (int)cut->stop;
    int freeze = (int)cut->freeze;
    int64_t speed = cut->speed;
    int64_t loops = cut->loops;
    int64_t freeze_ms = cut->freeze_ms;
    if (!read_word(args, "view", &rb_view_words, &view, error) ||
        !read_word(args, "start", &rb_point_words, &start, error) ||
        !read_word(args, "stop", &rb_point_words, &stop, error) ||
        !read_word(args, "freeze", &rb_point_words, &freeze, error) ||
        !cli_number(args, "speed", RB_SPEED_MIN, RB_SPEED_MAX, speed, &speed, error) ||
        !cli_number(args, "loops", 1, RB_LOOPS_MAX, loops, &loops, error) ||
        !cli_number(args, "freeze-ms", 0, RB_FREEZE_MS_MAX, freeze_ms, &freeze_ms,
                    error)) {
        return false;
    }
    cut->view = (RbView)view;
    cut->start = (RbPoint)start;
    cut->stop = (RbPoint)stop;
    cut->freeze = (RbPoint)freeze;
    cut->speed = (int)speed;
    cut->loops = (int)loops;
    cut->freeze_ms = (int)freeze_ms;
    if (cli_has(args, "card")) {
        const char *card = cli_value(args, "card");
        g_free(cut->card);
        cut->card = card[0] != '\0' ? g_strdup(card) : NULL;
    }
    return rb_cut_check(cut, error);
}

static bool make(const CliArgs *args, RbLibrary *library, const RbSelection *selection,
                 RbCutupId *id, int *n, GError **error)
{
    g_auto(RbCut) cut = rb_cut_default();
    if (!read_cut(args, &cut, error)) {
        return false;
    }
    const char *name = cli_word(args, 1);
    int rows = 0;
    const RbDropback *row = rb_selection_get_rows(selection, &rows);
    *n = rows;
    if (cli_has(args, "live")) {
        return rb_library_make_live_cutup(library, name, &cut,
                                          rb_selection_get_filter(selection), id, error);
    }
    g_autoptr(GArray) snaps = g_array_new(FALSE, FALSE, sizeof(RbSnapId));
    for (int i = 0; i < rows; i++) {
        g_array_append_val(snaps, row[i].snap);
    }
    return rb_library_make_cutup(library, name, &cut, rb_selection_get_filter(selection),
                                 (const RbSnapId *)(const void *)snaps->data, rows, id,
                                 error);
}

static CliExit run_make(const CliArgs *args, GError **error)
{
    g_autoptr(RbSelection) selection = cli_select(args, cli_word(args, 0), error);
    g_autoptr(RbLibrary) library =
        selection != NULL ? rb_library_open(cli_word(args, 0), NULL, error) : NULL;
    RbCutupId id = { 0 };
    int n = 0;
    if (library == NULL || !make(args, library, selection, &id, &n, error)) {
        return CLI_REFUSED;
    }
    if (cli_has(args, "json")) {
        cli_print_json(json_pack("{s:o, s:i}", "id", rb_json_id(id.value), "clips", n));
    } else {
        printf(_("Cut-up made: %d clips\n"), n);
    }
    return CLI_DONE;
}

static const CliOption make_options[] = {
    { "live", NULL, N_("follow the filter: snaps come and go as they are tagged") },
    { "view", N_("VIEW"), N_("wide, tight or both") },
    { "start", N_("POINT"), N_("first, set, snap, top, release, arrival") },
    { "stop", N_("POINT"), N_("snap, top, release, arrival, end or last") },
    { "speed", N_("PERCENT"), N_("of the film's own") },
    { "card", N_("WORDS"),
      N_("title card: game,snap,situation,call,coverage,verdict,…") },
    { NULL, NULL, NULL },
};

const CliCommand cli_cutup_make = {
    .name = "cutup make",
    .words = N_("LIBRARY NAME"),
    .least = 2,
    .most = 2,
    .summary = N_("Makes a cut-up of the dropbacks that a filter accepts."),
    .example = "cutup make season.readbreak \"Smash, eyes\" --concept smash --stage eyes",
    .options = make_options,
    .filters = true,
    .run = run_make,
};

/* ---- set */

static const char *const cut_option_names[] = { "view",      "start", "stop",  "freeze",
                                                "freeze-ms", "speed", "loops", "card" };

static bool has_cut_option(const CliArgs *args)
{
    bool has = false;
    for (size_t i = 0; i < G_N_ELEMENTS(cut_option_names); i++) {
        has = has || cli_has(args, cut_option_names[i]);
    }
    return has;
}

/* "" is none. */
static void replace_text(char **text, const char *by)
{
    g_free(*text);
    *text = by[0] != '\0' ? g_strdup(by) : NULL;
}

/* Its name and note. */
static bool set_head(const CliArgs *args, RbLibrary *library, RbCutup *cutup,
                     GError **error)
{
    if (!cli_has(args, "name") && !(cli_has(args, "note") && !cli_has(args, "clip"))) {
        return true;
    }
    if (cli_has(args, "name")) {
        g_free(cutup->name);
        cutup->name = g_strstrip(g_strdup(cli_value(args, "name")));
    }
    if (cli_has(args, "note") && !cli_has(args, "clip")) {
        replace_text(&cutup->note, cli_value(args, "note"));
    }
    return rb_library_save_cutup(library, cutup, error);
}

static bool set_kind(const CliArgs *args, RbLibrary *library, RbCutupId id,
                     GError **error)
{
    return (!cli_has(args, "live") || rb_library_follow_cutup(library, id, error)) &&
           (!cli_has(args, "fixed") || rb_library_fix_cutup(library, id, error));
}

static bool set_clip(const CliArgs *args, RbLibrary *library, const RbCutup *cutup,
                     GError **error)
{
    g_autoptr(GPtrArray) entries = rb_library_load_cutup_entries(library, cutup, error);
    int64_t number = 0;
    int64_t to = 0;
    if (entries == NULL ||
        !cli_number(args, "clip", 1, MAX((int64_t)entries->len, 1), 1, &number, error) ||
        !cli_number(args, "move-to", 1, MAX((int64_t)entries->len, 1), number, &to,
                    error)) {
        return false;
    }
    if (entries->len == 0) {
        return cli_usage_error(error, "The cut-up \"%s\" has no clips.", cutup->name);
    }
    RbCutupEntry *entry = entries->pdata[number - 1];
    if (cli_has(args, "note")) {
        replace_text(&entry->note, cli_value(args, "note"));
    }
    return read_cut(args, &entry->cut, error) &&
           (!(has_cut_option(args) || cli_has(args, "note")) ||
            rb_library_save_cutup_entry(library, entry, error)) &&
           rb_library_move_cutup_entry(library, cutup->id, (int)number - 1, (int)to - 1,
                                       error);
}

static bool set_clips(const CliArgs *args, RbLibrary *library, const RbCutup *cutup,
                      GError **error)
{
    if (cli_has(args, "clip")) {
        return set_clip(args, library, cutup, error);
    }
    g_auto(RbCut) cut = rb_cut_copy(&cutup->cut);
    cut.loops = MAX(cut.loops, 1);
    return !has_cut_option(args) ||
           (read_cut(args, &cut, error) &&
            rb_library_set_all_cuts(library, cutup->id, &cut, error));
}

static CliExit run_set(const CliArgs *args, GError **error)
{
    if (cli_has(args, "live") && cli_has(args, "fixed")) {
        cli_usage_error(error, "cutup set takes --live or --fixed, not both.");
        return CLI_USAGE;
    }
    g_autoptr(RbLibrary) library = rb_library_open(cli_word(args, 0), NULL, error);
    g_autoptr(RbCutup) cutup =
        library != NULL ? rb_library_find_cutup(library, cli_word(args, 1), error) : NULL;
    if (cutup == NULL || !set_head(args, library, cutup, error) ||
        !set_kind(args, library, cutup->id, error)) {
        return CLI_REFUSED;
    }
    g_autofree char *id = g_strdup_printf("%" G_GINT64_FORMAT, cutup->id.value);
    g_autoptr(RbCutup) now = rb_library_find_cutup(library, id, error);
    if (now == NULL || !set_clips(args, library, now, error)) {
        return CLI_REFUSED;
    }
    if (cli_has(args, "json")) {
        cli_print_json(json_pack("{s:o, s:o, s:s}", "id", rb_json_id(now->id.value),
                                 "name", rb_json_text(now->name), "kind",
                                 rb_words_token(&rb_cutup_kind_words, (int)now->kind)));
    } else {
        printf(_("Cut-up \"%s\" set\n"), now->name);
    }
    return CLI_DONE;
}

static const CliOption set_options[] = {
    { "name", N_("NAME"), N_("another name") },
    { "note", N_("TEXT"), N_("a note on the cut-up; with --clip, on the clip") },
    { "live", NULL, N_("follow the filter it was made with") },
    { "fixed", NULL, N_("keep the snaps it has now") },
    { "clip", N_("NUMBER"), N_("set this clip only; else all of them alike") },
    { "move-to", N_("NUMBER"), N_("with --clip: its new place") },
    { "view", N_("VIEW"), N_("wide, tight or both") },
    { "start", N_("POINT"), N_("first, set, snap, top, release, arrival") },
    { "stop", N_("POINT"), N_("snap, top, release, arrival, end or last") },
    { "freeze", N_("POINT"), N_("stand still there; none") },
    { "freeze-ms", N_("MS"), N_("for how long") },
    { "speed", N_("PERCENT"), N_("of the film's own") },
    { "loops", N_("TIMES"), N_("how often it is shown") },
    { "card", N_("WORDS"),
      N_("title card: game,snap,situation,call,coverage,verdict,…") },
    { NULL, NULL, NULL },
};

const CliCommand cli_cutup_set = {
    .name = "cutup set",
    .words = N_("LIBRARY CUT-UP"),
    .least = 2,
    .most = 2,
    .summary = N_("Sets name, kind and how the clips of a cut-up are shown."),
    .example = "cutup set season.readbreak Monday --card snap,coverage --start snap",
    .options = set_options,
    .run = run_set,
};
