/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "config.h"

#include <glib/gi18n-lib.h>
#include <string.h>

#include "rb/model/situation.h"
#include "rb/work/error.h"
#include "rb/work/json.h"

#include "cli.h"

/* snaps and tag: what is tagged, and tagging it. */

/* True when an option of the filter other than the game was given. */
static bool has_filter(const CliArgs *args)
{
    for (guint i = 0; i < args->names->len; i++) {
        int field = 0;
        if (rb_words_parse(&rb_field_words, args->names->pdata[i], &field) &&
            field != RB_FIELD_GAME) {
            return true;
        }
    }
    return false;
}

static char *show(const char *token, const RbNames *names, const RbSnap *snap,
                  const RbChart *chart)
{
    const RbTaggable *field = rb_taggable_parse(token, NULL);
    char *text = rb_taggable_get(field, names, snap, chart);
    if (*text == '\0') {
        g_free(text);
        return g_strdup("-");
    }
    g_free(text);
    return rb_taggable_show(field, names, snap, chart);
}

typedef struct {
    CliTable table; /* for people, or … */
    json_t *array;  /* … for machines; else NULL */
    const RbSnapshot *snapshot;
} Listing;

static void list_snap(const Listing *listing, const RbSnap *snap)
{
    const RbNames *names = rb_snapshot_get_names(listing->snapshot);
    const RbChart *chart = rb_snapshot_find_chart(listing->snapshot, snap->id);
    RbDropback row;
    const bool judged = rb_snapshot_find_row(listing->snapshot, snap->id, &row);
    if (listing->array != NULL) {
        json_t *object = rb_json_snap(names, snap, chart);
        if (judged) {
            json_object_set_new(
                object, "verdict",
                json_string(rb_words_token(&rb_verdict_words, (int)row.verdict)));
            json_object_set_new(
                object, "stage",
                json_string(rb_words_token(&rb_stage_words, (int)row.stage)));
            json_object_set_new(object, "counts", json_boolean(row.in_ladder));
        }
        json_array_append_new(listing->array, object);
        return;
    }
    g_autoptr(RbChart) empty =
        chart == NULL ? rb_chart_new(snap->id, (RbPersonId){ 0 }) : NULL;
    chart = chart != NULL ? chart : empty;
    const char *verdict =
        judged ? rb_words_label(&rb_verdict_words, (int)row.verdict) : "";
    cli_table_add(&listing->table, g_strdup(rb_names_game(names, snap->game)),
                  g_strdup_printf("%d", snap->number),
                  rb_situation_text(&snap->situation), show("play", names, snap, chart),
                  show("concept", names, snap, chart),
                  show("coverage", names, snap, chart), show("ball", names, snap, chart),
                  show("result", names, snap, chart), show("gain", names, snap, chart),
                  g_strdup(verdict));
}

/* Every snap of the games that the filter names (of all when it names none). */
static bool list_games(const Listing *listing, RbLibrary *library, const RbFilter *filter,
                       GError **error)
{
    const RbClause *clause = rb_filter_find(filter, RB_FIELD_GAME);
    const GPtrArray *games = rb_names_games(rb_snapshot_get_names(listing->snapshot));
    for (guint i = 0; i < games->len; i++) {
        const RbGame *game = games->pdata[i];
        bool wanted = clause == NULL;
        for (guint j = 0; !wanted && j < clause->values->len; j++) {
            wanted = g_array_index(clause->values, int64_t, j) == game->id.value;
        }
        if (!wanted) {
            continue;
        }
        g_autoptr(GPtrArray) snaps = rb_library_load_snaps(library, game->id, error);
        if (snaps == NULL) {
            return false;
        }
        for (guint j = 0; j < snaps->len; j++) {
            list_snap(listing, snaps->pdata[j]);
        }
    }
    return true;
}

static void list_selection(const Listing *listing, const RbFilter *filter)
{
    g_autoptr(RbSelection) selection = rb_selection_new(listing->snapshot, filter);
    int n = 0;
    const RbDropback *rows = rb_selection_get_rows(selection, &n);
    for (int i = 0; i < n; i++) {
        list_snap(listing, rb_snapshot_find_snap(listing->snapshot, rows[i].snap));
    }
}

static CliExit run_snaps(const CliArgs *args, GError **error)
{
    g_autoptr(RbLibrary) library = rb_library_open_to_read(cli_word(args, 0), error);
    if (library == NULL) {
        return CLI_REFUSED;
    }
    RbSnapshotOptions options = rb_snapshot_options_default();
    options.practice = cli_has(args, "practice") || !has_filter(args);
    g_autoptr(RbSnapshot) snapshot =
        rb_snapshot_take(library, &options, args->cancel, error);
    g_autoptr(RbFilter) filter =
        snapshot != NULL ? cli_filter(args, rb_snapshot_get_names(snapshot), error)
                         : NULL;
    if (filter == NULL) {
        return CLI_REFUSED;
    }
    Listing listing = { .snapshot = snapshot };
    if (cli_has(args, "json")) {
        listing.array = json_array();
    } else {
        listing.table = cli_table(
            "<><<<<<<><",
            (const char *const[]){ _("Game"), _("Snap"), _("Situation"), _("Play"),
                                   _("Concept"), _("Coverage"), _("Ball"), _("Result"),
                                   _("Gain"), _("Verdict"), NULL });
    }
    if (has_filter(args)) {
        list_selection(&listing, filter);
    } else if (!list_games(&listing, library, filter, error)) {
        return CLI_REFUSED;
    }
    if (listing.array != NULL) {
        cli_print_json(json_pack("{s:o}", "snaps", listing.array));
    } else {
        cli_table_print(&listing.table);
    }
    return CLI_DONE;
}

const CliCommand cli_snaps = {
    .name = "snaps",
    .words = N_("LIBRARY"),
    .least = 1,
    .most = 1,
    .summary = N_("The snaps of a game, or the dropbacks that a filter accepts."),
    .example = "snaps season.readbreak --concept smash --coverage cover-2 --stage eyes",
    .filters = true,
    .run = run_snaps,
};

RbSnap *cli_find_snap(const CliArgs *args, RbLibrary *library, int64_t number,
                      GError **error)
{
    const char *game_text = cli_value(args, "game");
    if (game_text == NULL) {
        return rb_library_load_snap(library, (RbSnapId){ number }, error);
    }
    g_autoptr(RbNames) names = rb_library_load_names(library, error);
    const RbGame *game =
        names != NULL ? rb_names_parse_game(names, game_text, error) : NULL;
    if (game == NULL) {
        return NULL;
    }
    return rb_library_load_snap_numbered(library, game->id, (int)MIN(number, G_MAXINT),
                                         error);
}

/* --snap is an id, or with --game a number in that game. */
static bool parse_snap(const CliArgs *args, int64_t *number, GError **error)
{
    const char *text = cli_value(args, "snap");
    if (text == NULL) {
        return cli_usage_error(error,
                               "tag needs --snap: an id, or with --game its number.");
    }
    return cli_parse_number("--snap", text, 1, INT64_MAX, number, error);
}

static void print_sheet(const RbSheet *sheet)
{
    g_autofree char *snap = rb_names_snap_text(sheet->names, sheet->snap);
    g_autofree char *situation = rb_situation_text(&sheet->snap->situation);
    printf("%s: %s\n", snap, situation);
    if (!sheet->judged) {
        return;
    }
    printf(_("Verdict: %s\n"),
           rb_words_label(&rb_verdict_words, (int)sheet->judgment.verdict));
    for (guint i = 0; i < sheet->reasons->len; i++) {
        printf("  %s\n", (const char *)sheet->reasons->pdata[i]);
    }
    if (sheet->settle != NULL) {
        printf(_("What would settle it: %s\n"), sheet->settle);
    }
}

/* Every tag with its value, for a snap that is only looked at. */
static void print_tags(const RbSheet *sheet)
{
    int n = 0;
    const RbTaggable *fields = rb_taggables(&n);
    CliTable table = cli_table(
        "<<<", (const char *const[]){ _("Tag"), _("Value"), _("For people"), NULL });
    for (int i = 0; i < n; i++) {
        cli_table_add(
            &table, g_strdup(fields[i].token),
            rb_taggable_get(&fields[i], sheet->names, sheet->snap, sheet->chart),
            rb_taggable_show(&fields[i], sheet->names, sheet->snap, sheet->chart));
    }
    cli_table_print(&table);
    putchar('\n');
}

/* FIELD=VALUE words into changes. Returns: (transfer full): of RbTagChange, whose texts belong
 * to `held`. */
static GArray *parse_changes(const CliArgs *args, GPtrArray *held, GError **error)
{
    g_autoptr(GArray) changes = g_array_new(FALSE, FALSE, sizeof(RbTagChange));
    for (guint i = 1; i < args->words->len; i++) {
        const char *word = args->words->pdata[i];
        const char *equals = strchr(word, '=');
        if (equals == NULL) {
            cli_usage_error(error, "tag takes FIELD=VALUE, not \"%s\".", word);
            return NULL;
        }
        char *field = g_strndup(word, (gsize)(equals - word));
        g_ptr_array_add(held, field);
        const RbTagChange change = { field, equals + 1 };
        g_array_append_val(changes, change);
    }
    return g_steal_pointer(&changes);
}

static CliExit tag_snap(const CliArgs *args, RbLibrary *library, int64_t number,
                        const GArray *changes, GError **error)
{
    g_autoptr(RbSnap) snap = cli_find_snap(args, library, number, error);
    if (snap == NULL) {
        return CLI_REFUSED;
    }
    g_autofree char *words = NULL;
    if (changes->len > 0 &&
        !rb_library_tag(library, snap->id,
                        (const RbTagChange *)(const void *)changes->data,
                        (int)changes->len, &words, error)) {
        return CLI_REFUSED;
    }
    g_autoptr(RbSheet) sheet = rb_library_load_sheet(library, snap->id, error);
    if (sheet == NULL) {
        return CLI_REFUSED;
    }
    if (cli_has(args, "json")) {
        json_t *root = rb_json_sheet(sheet);
        json_object_set_new(root, "changed",
                            words != NULL ? json_string(words) : json_null());
        cli_print_json(root);
        return CLI_DONE;
    }
    if (changes->len == 0) {
        print_tags(sheet);
    } else {
        printf("%s\n", words != NULL ? words : _("Nothing was different."));
    }
    print_sheet(sheet);
    return CLI_DONE;
}

static CliExit run_tag(const CliArgs *args, GError **error)
{
    g_autoptr(GPtrArray) held = g_ptr_array_new_with_free_func(g_free);
    g_autoptr(GArray) changes = parse_changes(args, held, error);
    int64_t number = 0;
    if (changes == NULL || !parse_snap(args, &number, error)) {
        return CLI_USAGE;
    }
    g_autoptr(RbLibrary) library =
        changes->len > 0
            ? rb_library_open(cli_word(args, 0), cli_value(args, "as"), error)
            : rb_library_open_to_read(cli_word(args, 0), error);
    if (library == NULL) {
        return CLI_REFUSED;
    }
    if (changes->len == 0 && cli_has(args, "as") && *cli_value(args, "as") != '\0') {
        rb_library_work_as(library, cli_value(args, "as")); /* whose chart is shown */
    }
    return tag_snap(args, library, number, changes, error);
}

static const CliOption tag_options[] = {
    { "game", N_("GAME"), N_("number in order of date, date, or title") },
    { "snap", N_("SNAP"), N_("its number in the game; without --game its id") },
    { "as", N_("NAME"), N_("the member of the staff whose chart it is (default: you)") },
    { NULL, NULL, NULL },
};

const CliCommand cli_tag = {
    .name = "tag",
    .words = N_("LIBRARY [FIELD=VALUE…]"),
    .least = 1,
    .most = -1,
    .summary =
        N_("Sets tags of one snap in one step, or shows them all; \"-\" is unknown."),
    .example = "tag season.readbreak --game 3 --snap 34 coverage=quarters read-2=open",
    .options = tag_options,
    .run = run_tag,
};
