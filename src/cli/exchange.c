/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "config.h"

#include "rb/work/exchange.h"

#include <glib/gi18n-lib.h>
#include <inttypes.h>

#include "rb/work/json.h"

#include "cli.h"

/* exchange send, receive, status, settle. */

static RbLibrary *open_library(const CliArgs *args, GError **error)
{
    return rb_library_open(cli_word(args, 0), cli_value(args, "as"), error);
}

static CliExit run_send(const CliArgs *args, GError **error)
{
    g_autoptr(RbLibrary) library = open_library(args, error);
    if (library == NULL) {
        return CLI_REFUSED;
    }
    RbProgress *progress = cli_progress_new();
    RbExchangeSent sent;
    const bool ok = rb_exchange_send(library, cli_word(args, 1), &sent, args->cancel,
                                     progress, error);
    cli_progress_end(progress);
    if (!ok) {
        return CLI_REFUSED;
    }
    if (cli_has(args, "json")) {
        cli_print_json(json_pack("{s:I, s:i, s:b}", "actions", (json_int_t)sent.actions,
                                 "files", sent.files, "anew", (int)sent.anew));
    } else if (sent.files == 0) {
        puts(_("The folder holds all your work already."));
    } else {
        g_autofree char *files = g_strdup_printf(
            ngettext("%d file", "%d files", (gulong)sent.files), sent.files);
        printf(ngettext("%" PRId64 " change sent in %s.\n",
                        "%" PRId64 " changes sent in %s.\n", (gulong)sent.actions),
               sent.actions, files);
    }
    return CLI_DONE;
}

static const char *fate_word(RbExchangeFate fate)
{
    switch (fate) {
    case RB_EXCHANGE_TAKEN:
        return "taken";
    case RB_EXCHANGE_WAITS:
        return "waits";
    case RB_EXCHANGE_REFUSED:
        return "refused";
    }
    return "";
}

static json_t *disputes_json(const GPtrArray *disputes)
{
    json_t *array = json_array();
    for (guint i = 0; i < disputes->len; i++) {
        const RbDispute *dispute = disputes->pdata[i];
        json_t *values = json_array();
        for (guint j = 0; j < dispute->values->len; j++) {
            const RbDisputeValue *value = dispute->values->pdata[j];
            json_array_append_new(
                values, json_pack("{s:s, s:s, s:I}", "value", value->text, "who",
                                  value->who, "stamp_us", (json_int_t)value->stamp_us));
        }
        json_array_append_new(array, json_pack("{s:i, s:s, s:o}", "number", (int)i + 1,
                                               "what", dispute->what, "values", values));
    }
    return array;
}

static void print_disputes(const GPtrArray *disputes)
{
    if (disputes->len == 0) {
        return;
    }
    puts(_(
        "\nTo be settled (exchange settle LIBRARY NUMBER CHOICE; choice 1 is shown now):"));
    CliTable table =
        cli_table("><><<", (const char *const[]){ _("No."), _("What"), _("Choice"),
                                                  _("Value"), _("Who"), NULL });
    for (guint i = 0; i < disputes->len; i++) {
        const RbDispute *dispute = disputes->pdata[i];
        for (guint j = 0; j < dispute->values->len; j++) {
            const RbDisputeValue *value = dispute->values->pdata[j];
            cli_table_add(&table, j == 0 ? g_strdup_printf("%u", i + 1) : g_strdup(""),
                          g_strdup(j == 0 ? dispute->what : ""),
                          g_strdup_printf("%u", j + 1), g_strdup(value->text),
                          g_strdup(value->who));
        }
    }
    cli_table_print(&table);
}

static void print_received(const RbExchangeReceived *received)
{
    printf(ngettext("%" PRId64 " change of others taken.\n",
                    "%" PRId64 " changes of others taken.\n", (gulong)received->actions),
           received->actions);
    for (guint i = 0; i < received->lines->len; i++) {
        const RbExchangeLine *line = received->lines->pdata[i];
        if (line->sentence != NULL) {
            printf("%s%s%s: %s\n", line->file, line->who[0] != '\0' ? ", " : "",
                   line->who, line->sentence);
        }
    }
}

static json_t *received_json(const RbExchangeReceived *received)
{
    json_t *files = json_array();
    for (guint i = 0; i < received->lines->len; i++) {
        const RbExchangeLine *line = received->lines->pdata[i];
        json_array_append_new(
            files, json_pack("{s:s, s:s, s:s, s:I, s:s?}", "file", line->file, "who",
                             line->who, "fate", fate_word(line->fate), "actions",
                             (json_int_t)line->actions, "why", line->sentence));
    }
    return json_pack("{s:I, s:I, s:i, s:i, s:o}", "actions",
                     (json_int_t)received->actions, "fields",
                     (json_int_t)received->fields, "waiting", received->waiting,
                     "refused", received->refused, "files", files);
}

static CliExit run_receive(const CliArgs *args, GError **error)
{
    g_autoptr(RbLibrary) library = open_library(args, error);
    if (library == NULL) {
        return CLI_REFUSED;
    }
    RbProgress *progress = cli_progress_new();
    g_autoptr(RbExchangeReceived) received =
        rb_exchange_receive(library, cli_word(args, 1), args->cancel, progress, error);
    cli_progress_end(progress);
    g_autoptr(GPtrArray) disputes =
        received != NULL ? rb_exchange_load_disputes(library, error) : NULL;
    if (disputes == NULL) {
        return CLI_REFUSED;
    }
    if (cli_has(args, "json")) {
        json_t *root = received_json(received);
        json_object_set_new(root, "disputes", disputes_json(disputes));
        cli_print_json(root);
    } else {
        print_received(received);
        print_disputes(disputes);
    }
    return CLI_DONE;
}

static void print_laptops(const GPtrArray *laptops)
{
    CliTable table =
        cli_table("<<>>", (const char *const[]){ _("Laptop"), _("Who"), _("Changes here"),
                                                 _("In the folder"), NULL });
    for (guint i = 0; i < laptops->len; i++) {
        const RbExchangeLaptop *laptop = laptops->pdata[i];
        cli_table_add(&table, g_strdup(laptop->mine ? _("this one") : _("another")),
                      g_strdup(laptop->who),
                      g_strdup_printf("%" G_GINT64_FORMAT, laptop->here),
                      g_strdup_printf("%" G_GINT64_FORMAT, laptop->in_folder));
    }
    cli_table_print(&table);
}

static CliExit run_status(const CliArgs *args, GError **error)
{
    g_autoptr(RbLibrary) library = rb_library_open_to_read(cli_word(args, 0), error);
    g_autoptr(GPtrArray) laptops =
        library != NULL ? rb_exchange_status(library, cli_word(args, 1), error) : NULL;
    g_autoptr(GPtrArray) disputes =
        laptops != NULL ? rb_exchange_load_disputes(library, error) : NULL;
    if (disputes == NULL) {
        return CLI_REFUSED;
    }
    if (!cli_has(args, "json")) {
        print_laptops(laptops);
        print_disputes(disputes);
        return CLI_DONE;
    }
    json_t *array = json_array();
    for (guint i = 0; i < laptops->len; i++) {
        const RbExchangeLaptop *laptop = laptops->pdata[i];
        g_autofree char *id = g_strdup_printf("%" G_GINT64_FORMAT, laptop->laptop);
        json_array_append_new(array,
                              json_pack("{s:s, s:b, s:s, s:I, s:I}", "laptop", id, "mine",
                                        (int)laptop->mine, "who", laptop->who, "here",
                                        (json_int_t)laptop->here, "in_folder",
                                        (json_int_t)laptop->in_folder));
    }
    cli_print_json(
        json_pack("{s:o, s:o}", "laptops", array, "disputes", disputes_json(disputes)));
    return CLI_DONE;
}

static CliExit run_settle(const CliArgs *args, GError **error)
{
    int64_t number = 0;
    int64_t choice = 0;
    if (!cli_parse_number(_("the dispute's number"), cli_word(args, 1), 1, G_MAXINT,
                          &number, error) ||
        !cli_parse_number(_("the choice"), cli_word(args, 2), 1, G_MAXINT, &choice,
                          error)) {
        return CLI_USAGE;
    }
    g_autoptr(RbLibrary) library = open_library(args, error);
    g_autoptr(GPtrArray) disputes =
        library != NULL ? rb_exchange_load_disputes(library, error) : NULL;
    if (disputes == NULL) {
        return CLI_REFUSED;
    }
    const RbDispute *dispute =
        number <= (int64_t)disputes->len ? disputes->pdata[number - 1] : NULL;
    if (dispute == NULL || choice > (int64_t)dispute->values->len) {
        return cli_usage_error(error,
                               "There is no such dispute or choice; exchange status "
                               "lists them.")
                   ? CLI_DONE
                   : CLI_USAGE;
    }
    if (!rb_exchange_settle(library, dispute, (int)choice - 1, error)) {
        return CLI_REFUSED;
    }
    const RbDisputeValue *value = dispute->values->pdata[choice - 1];
    if (cli_has(args, "json")) {
        cli_print_json(
            json_pack("{s:s, s:s}", "what", dispute->what, "value", value->text));
    } else {
        printf("%s: %s\n", dispute->what, value->text);
    }
    return CLI_DONE;
}

static const CliOption who_options[] = {
    { "as", N_("NAME"), N_("who you are; your own name by default") },
    { NULL, NULL, NULL },
};

const CliCommand cli_exchange_send = {
    .name = "exchange send",
    .words = N_("LIBRARY FOLDER"),
    .least = 2,
    .most = 2,
    .summary = N_("Puts your work into a folder that only the staff can read."),
    .example = "exchange send season.readbreak /media/staff/exchange",
    .notes = cli_caution_notes,
    .options = who_options,
    .run = run_send,
};

const CliCommand cli_exchange_receive = {
    .name = "exchange receive",
    .words = N_("LIBRARY FOLDER"),
    .least = 2,
    .most = 2,
    .summary =
        N_("Takes the others' work from the folder; nobody's chart is overwritten."),
    .example = "exchange receive season.readbreak /media/staff/exchange",
    .options = who_options,
    .run = run_receive,
};

const CliCommand cli_exchange_status = {
    .name = "exchange status",
    .words = N_("LIBRARY FOLDER"),
    .least = 2,
    .most = 2,
    .summary = N_("What is here and in the folder, and which facts must be settled."),
    .example = "exchange status season.readbreak /media/staff/exchange",
    .run = run_status,
};

const CliCommand cli_exchange_settle = {
    .name = "exchange settle",
    .words = N_("LIBRARY NUMBER CHOICE"),
    .least = 3,
    .most = 3,
    .summary = N_("Settles a fact that two laptops told differently."),
    .example = "exchange settle season.readbreak 1 2",
    .options = who_options,
    .run = run_settle,
};
