/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "config.h"

#include "quiz-words.h"

#include <glib/gi18n.h>

#include "snap-words.h"

static void add(GString *text, const char *line)
{
    if (line[0] != '\0') {
        g_string_append_printf(text, "%s%s", text->len > 0 ? "\n" : "", line);
    }
}

char *rb_quiz_facts_text(const RbSheet *sheet)
{
    const RbSnap *snap = sheet->snap;
    GString *text = g_string_new(NULL);
    g_autofree char *situation = rb_situation_text(&snap->situation);
    add(text, situation);
    if (snap->personnel.value != 0 || snap->formation.value != 0) {
        g_autofree char *who = g_strdup_printf(
            snap->personnel.value != 0 && snap->formation.value != 0 ? "%s, %s" : "%s%s",
            snap->personnel.value != 0 ? rb_names_term(sheet->names, snap->personnel)
                                       : "",
            snap->formation.value != 0 ? rb_names_term(sheet->names, snap->formation)
                                       : "");
        add(text, who);
    }
    g_autofree char *call = rb_names_call_text(sheet->names, &sheet->chart->call);
    g_autofree char *called = g_strdup_printf(_("Call: %s"), call);
    add(text, called);
    return g_string_free(text, FALSE);
}

const char *rb_quiz_ask_text(RbQuizAsk ask)
{
    switch (ask) {
    case RB_QUIZ_ASK_SHELL:
        return _("Which shell do they show?");
    case RB_QUIZ_ASK_SIDE:
        return _("Which side do you work?");
    case RB_QUIZ_ASK_FIRST:
        return _("Which read is first?");
    case RB_QUIZ_ASK_THROW:
        return _("Whom do you throw to?");
    case RB_QUIZ_ASK_NOTHING:
        return "";
    }
    return "";
}

const char *rb_quiz_choice_text(const RbQuizChoice *choice)
{
    if (choice->value == RB_QUIZ_NOT_YET) {
        return _("Nobody yet");
    }
    return choice->value == 0 ? _("Nobody: none is open") : choice->label;
}

/* "read 2, Hitch, #1" */
static char *read_text(const RbQuizQuestion *question, int slot)
{
    g_autofree char *read = rb_quiz_read_text(question, slot);
    return g_strdup_printf(_("read %d, %s"), slot, read);
}

/* Nobody open: the outlet, if there is one. */
static char *right_read_text(const RbQuizQuestion *question)
{
    if (question->right_read > 0) {
        return read_text(question, question->right_read);
    }
    if (question->outlet == 0) {
        return g_strdup(_("nobody was open"));
    }
    g_autofree char *outlet = read_text(question, question->outlet);
    return g_strdup_printf(_("nobody was open; the outlet (%s)"), outlet);
}

static char *named_text(const RbQuizQuestion *question, int read)
{
    return read > 0 ? read_text(question, read) : g_strdup(_("nobody"));
}

char *rb_quiz_result_text(const RbQuizQuestion *question, const RbQuizAnswer *answer)
{
    g_autofree char *right = right_read_text(question);
    return answer->read_right == RB_YES ? g_strdup_printf(_("Right: %s"), right)
                                        : g_strdup_printf(_("Not that one: %s"), right);
}

static void tell(GString *text, RbYesNo right, const char *what, const char *named,
                 const char *truth)
{
    if (right == RB_YES_NO_UNKNOWN) {
        return;
    }
    g_autofree char *line =
        right == RB_YES ? g_strdup_printf(_("%s: %s. Right"), what, named)
                        : g_strdup_printf(_("%s: %s. It was %s"), what, named, truth);
    add(text, line);
}

static void tell_first(GString *text, const RbQuizQuestion *question,
                       const RbQuizAnswer *answer)
{
    if (question->side != RB_SIDE_UNKNOWN) {
        tell(text, answer->first_right, _("Side"),
             rb_words_label(&rb_side_words, answer->side),
             rb_words_label(&rb_side_words, question->side));
        return;
    }
    g_autofree char *named = named_text(question, answer->first_read);
    g_autofree char *truth = named_text(question, question->first_read);
    tell(text, answer->first_right, _("First read"), named, truth);
}

static void tell_return(GString *text, int days, int thinking_ms)
{
    g_autofree char *time = g_strdup_printf(_("You took %.1f s."), thinking_ms / 1000.0);
    g_autofree char *back =
        g_strdup_printf(ngettext("This snap comes back in %d day.",
                                 "This snap comes back in %d days.", days),
                        days);
    g_string_append_c(text, '\n');
    add(text, time);
    add(text, back);
}

char *rb_quiz_told_text(const RbQuizQuestion *question, const RbQuizRun *run,
                        const RbSheet *sheet)
{
    const RbQuizAnswer *answer = rb_quiz_run_get_answer(run);
    GString *text = g_string_new(NULL);
    tell(text, answer->shell_right, _("Shell"),
         rb_words_label(&rb_shell_words, answer->shell),
         rb_words_label(&rb_shell_words, question->shell));
    tell_first(text, question, answer);
    g_autofree char *named = named_text(question, answer->read);
    g_autofree char *truth = right_read_text(question);
    tell(text, answer->read_right, _("Throw"), named, truth);
    g_autofree char *verdict = rb_sheet_verdict_text(sheet);
    g_autofree char *reasons = rb_sheet_reasons_text(sheet);
    g_autofree char *film = g_strdup_printf(_("On the film: %s."), verdict);
    g_string_append_c(text, '\n');
    add(text, film);
    add(text, reasons);
    tell_return(text, rb_quiz_run_days(run), answer->thinking_ms);
    return g_string_free(text, FALSE);
}

char *rb_quiz_about_text(const RbQuizSet *set)
{
    int due = 0;
    for (guint i = 0; i < set->questions->len; i++) {
        due += ((const RbQuizQuestion *)set->questions->pdata[i])->asked > 0;
    }
    const int n = (int)set->questions->len;
    if (n == 0) {
        return g_strdup(_("No snap is due today. Asked are snaps that have film with its "
                          "snap marked and a verdict that is settled."));
    }
    g_autofree char *count =
        g_strdup_printf(ngettext("%d snap, %d of them asked before.",
                                 "%d snaps, %d of them asked before.", n),
                        n, due);
    return g_strdup_printf(
        _("%s The film stops just before the snap: name the shell, then the side or the "
          "first read. It plays on to the clock of each read: say whom you throw to. "
          "Answers are kept for %s."),
        count, set->name);
}
