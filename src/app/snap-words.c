/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "config.h"

#include "snap-words.h"

#include <glib/gi18n.h>

#include "ink.h"

static const char *quarter_words(int quarter)
{
    static const char *const words[] = { N_("1st quarter"), N_("2nd quarter"),
                                         N_("3rd quarter"), N_("4th quarter") };
    if (quarter >= 1 && quarter <= 4) {
        return _(words[quarter - 1]);
    }
    return quarter > 4 ? _("overtime") : NULL;
}

/* Appends words after a separator, unless they are the first of their line. */
static void add(GString *text, const char *words)
{
    const bool starts_line = text->len == 0 || text->str[text->len - 1] == '\n';
    if (words != NULL && words[0] != '\0') {
        g_string_append_printf(text, "%s%s", starts_line ? "" : ", ", words);
    }
}

static void end_line(GString *text)
{
    if (text->len > 0 && text->str[text->len - 1] != '\n') {
        g_string_append_c(text, '\n');
    }
}

char *rb_snap_result_text(const RbSnap *snap)
{
    GString *text = g_string_new(NULL);
    if (snap->result != RB_RESULT_UNKNOWN) {
        add(text, rb_words_label(&rb_result_words, snap->result));
    }
    if (snap->has_gain == RB_YES) {
        const int yards = ABS(snap->gain);
        g_autofree char *gain =
            snap->gain == 0 ? g_strdup(_("no gain"))
            : snap->gain > 0
                ? g_strdup_printf(ngettext("gain of %d", "gain of %d", yards), yards)
                : g_strdup_printf(ngettext("loss of %d", "loss of %d", yards), yards);
        add(text, gain);
    }
    if (snap->ending != RB_ENDING_NONE) {
        g_autofree char *ending =
            g_utf8_strdown(rb_words_label(&rb_ending_words, snap->ending), -1);
        add(text, ending);
    }
    return g_string_free(text, FALSE);
}

char *rb_snap_facts_text(const RbNames *names, const RbSnap *snap)
{
    GString *text = g_string_new(NULL);
    g_autofree char *situation = rb_situation_text(&snap->situation);
    add(text, situation);
    end_line(text);
    add(text, quarter_words(snap->situation.quarter));
    if (snap->situation.clock_s >= 0) {
        g_autofree char *clock = g_strdup_printf("%d:%02d", snap->situation.clock_s / 60,
                                                 snap->situation.clock_s % 60);
        add(text, clock);
    }
    if (snap->personnel.value != 0) {
        g_autofree char *personnel =
            g_strdup_printf(_("%s personnel"), rb_names_term(names, snap->personnel));
        add(text, personnel);
    }
    if (snap->formation.value != 0) {
        add(text, rb_names_term(names, snap->formation));
    }
    if (snap->quarterback.value != 0) {
        g_autofree char *player = rb_names_player_text(names, snap->quarterback);
        g_autofree char *words = g_strdup_printf(_("quarterback %s"), player);
        add(text, words);
    }
    end_line(text);
    g_autofree char *result = rb_snap_result_text(snap);
    add(text, result);
    if (text->len > 0 && text->str[text->len - 1] == '\n') {
        g_string_truncate(text, text->len - 1);
    }
    return g_string_free(text, FALSE);
}

char *rb_sheet_outcome_text(const RbSheet *sheet)
{
    if (!sheet->judged) {
        return g_strdup("");
    }
    const char *success = sheet->success ? _("success") : _("no success");
    if (!sheet->has_points) {
        return g_strdup(success);
    }
    g_autofree char *points = rb_ink_signed(sheet->points);
    return g_strdup_printf(_("%s, %s points"), success, points);
}

char *rb_sheet_verdict_text(const RbSheet *sheet)
{
    if (!sheet->judged) {
        return g_strdup(sheet->snap->play == RB_PLAY_UNKNOWN
                            ? _("Play not tagged")
                            : _("Not judged: no dropback"));
    }
    return g_strdup(rb_words_label(&rb_verdict_words, sheet->judgment.verdict));
}

char *rb_sheet_reasons_text(const RbSheet *sheet)
{
    GString *text = g_string_new(NULL);
    for (guint i = 0; sheet->reasons != NULL && i < sheet->reasons->len; i++) {
        g_string_append_printf(text, "%s%s", i > 0 ? "\n" : "",
                               (const char *)sheet->reasons->pdata[i]);
    }
    return g_string_free(text, FALSE);
}

char *rb_sheet_author_text(const RbSheet *sheet)
{
    const RbPerson *person =
        sheet->counts != NULL ? rb_names_find_person(sheet->names, sheet->counts->author)
                              : NULL;
    if (person == NULL) {
        return g_strdup("");
    }
    return g_strdup_printf(
        sheet->own ? _("Your own chart; the one of %s counts.")
                   : _("The chart of %s. Your first answer starts your own from it."),
        person->name);
}
