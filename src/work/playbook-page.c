/* SPDX-License-Identifier: GPL-3.0-or-later */
/* A concept in words and on paper. */
#include "config.h"

#include <glib/gi18n-lib.h>
#include <stdlib.h>
#include <string.h>
#include <time.h>

#include "rb/base/error.h"
#include "rb/book/check.h"
#include "rb/report/concept-page.h"
#include "rb/work/error.h"
#include "rb/work/playbook-try.h"

enum { PNG_WIDTH = 1600 };

char *rb_clock_text(const RbClock *clock, const RbFootwork *footwork)
{
    int ms = 0;
    g_autofree char *tolerance =
        clock->tolerance_ms > 0 ? g_strdup_printf(" ± %g", clock->tolerance_ms / 1000.0)
                                : g_strdup("");
    switch (clock->kind) {
    case RB_CLOCK_UNKNOWN:
        return g_strdup(_("no clock"));
    case RB_CLOCK_SECONDS:
        return g_strdup_printf(_("by %.2f s%s"), clock->ms / 1000.0, tolerance);
    case RB_CLOCK_FOOTWORK:
        break;
    }
    g_autofree char *hitches =
        clock->hitches == 0
            ? g_strdup(_("no hitch"))
            : g_strdup_printf(g_dngettext(GETTEXT_PACKAGE, "%d hitch", "%d hitches",
                                          (gulong)clock->hitches),
                              clock->hitches);
    g_autofree char *time = rb_clock_ms(clock, footwork, &ms)
                                ? g_strdup_printf("%.2f s%s", ms / 1000.0, tolerance)
                                : g_strdup(_("not in the footwork table"));
    if (clock->drop != RB_DROP_STRAIGHT) {
        return g_strdup_printf("%s, %s (%s)",
                               rb_words_label(&rb_drop_words, (int)clock->drop), hitches,
                               time);
    }
    g_autofree char *steps = g_strdup_printf(
        g_dngettext(GETTEXT_PACKAGE, "%d step", "%d steps", (gulong)clock->steps),
        clock->steps);
    return g_strdup_printf("%s%s, %s (%s)", clock->fake ? _("fake, ") : "", steps,
                           hitches, time);
}

char *rb_landmark_text(const RbRead *read)
{
    g_autoptr(GString) text = g_string_new(read->landmark);
    const double yards = abs(read->landmark_tenths) / 10.0;
    const bool inside = read->landmark_tenths < 0;
    const char *joint = text->len > 0 ? ", " : "";
    switch (read->landmark_from) {
    case RB_FROM_NONE:
        break;
    case RB_FROM_SIDELINE:
        g_string_append_printf(text, _("%s%g yd from the sideline"), joint, yards);
        break;
    case RB_FROM_NUMBERS:
        g_string_append_printf(text,
                               inside ? _("%s%g yd inside the numbers")
                                      : _("%s%g yd outside the numbers"),
                               joint, yards);
        break;
    case RB_FROM_HASH:
        g_string_append_printf(
            text, inside ? _("%s%g yd inside the hash") : _("%s%g yd outside the hash"),
            joint, yards);
        break;
    }
    return g_strdup(text->str);
}

char *rb_read_text(const RbRead *read, const RbFootwork *footwork)
{
    g_autoptr(GString) text =
        g_string_new(rb_words_label(&rb_route_words, (int)read->route));
    if (read->runner == RB_RUNNER_BACK) {
        g_string_append(text, _(" by the back"));
    } else if (read->runner != RB_RUNNER_UNKNOWN) {
        g_string_append_printf(text, _(" by %s"),
                               rb_words_label(&rb_runner_words, (int)read->runner));
    }
    if (read->side == RB_READ_SIDE_OTHER) {
        g_string_append(text, _(" on the other side"));
    }
    if (read->depth_yd != 0) {
        g_string_append_printf(text, _(" at %d yards"), read->depth_yd);
    }
    g_autofree char *landmark = rb_landmark_text(read);
    if (*landmark != '\0') {
        g_string_append_printf(text, ", %s", landmark);
    }
    if (read->clear_out) {
        g_string_append(text, _(", to clear out"));
        return g_strdup(text->str);
    }
    g_autofree char *clock = rb_clock_text(&read->clock, footwork);
    g_string_append_printf(text, ", %s%s", read->outlet ? _("outlet, ") : "", clock);
    if (read->key != NULL) {
        g_string_append_printf(text, _(", key: %s"), read->key);
    }
    return g_strdup(text->str);
}

static GStrv read_sentences(const RbConcept *concept, const RbNames *names)
{
    GStrvBuilder *builder = g_strv_builder_new();
    for (guint i = 0; i < concept->reads->len; i++) {
        const RbRead *read = concept->reads->pdata[i];
        g_autofree char *words = rb_read_text(read, rb_names_footwork(names));
        g_autofree char *line = g_strdup_printf(_("Read %d: %s."), read->number, words);
        g_strv_builder_add(builder, line);
    }
    GStrv lines = g_strv_builder_end(builder);
    g_strv_builder_unref(builder);
    return lines;
}

static GStrv rule_sentences(const RbConcept *concept, const RbNames *names)
{
    GStrvBuilder *builder = g_strv_builder_new();
    for (guint i = 0; i < concept->rules->len; i++) {
        g_autofree char *line =
            rb_book_rule_text(concept->rules->pdata[i], rb_names_terms(names));
        g_strv_builder_add(builder, line);
    }
    GStrv lines = g_strv_builder_end(builder);
    g_strv_builder_unref(builder);
    return lines;
}

/* "Two high, squat corner left. Read 2 pivot, then 3 check-down." Returns: (transfer full)
 * (nullable). */
static char *picture_sentence(const RbConcept *concept, const RbNames *names,
                              const RbPictureTry *picture)
{
    if (picture == NULL) {
        return NULL;
    }
    RbTryAnswer answer;
    rb_concept_try(concept, names, picture, &answer);
    g_autofree char *against = rb_picture_try_text(picture, names);
    char *sentence =
        g_strdup_printf("%s. %s", against, (const char *)answer.lines->pdata[0]);
    rb_try_answer_clear(&answer);
    return sentence;
}

static GByteArray *draw(const RbConceptPage *page, const char *path, GError **error)
{
    g_autofree char *lower = g_ascii_strdown(path, -1);
    if (g_str_has_suffix(lower, ".pdf")) {
        return rb_concept_page_pdf(page, error);
    }
    if (g_str_has_suffix(lower, ".png")) {
        return rb_concept_page_png(page, PNG_WIDTH, error);
    }
    if (g_str_has_suffix(lower, ".svg")) {
        return rb_concept_page_svg(page);
    }
    rb_error_set(error, RB_WORK_ERROR, RB_WORK_ERROR_VALUE,
                 _("%s does not say what to write: end the name in .pdf, .svg or .png."),
                 path);
    return NULL;
}

bool rb_concept_write_page(const RbConcept *concept, const RbNames *names, RbRules rules,
                           const RbPictureTry *picture, const char *path, GError **error)
{
    const RbDiagram diagram = rb_concept_diagram(concept, names, rules, picture);
    g_auto(GStrv) reads = read_sentences(concept, names);
    g_auto(GStrv) sentences = rule_sentences(concept, names);
    g_autofree char *against = picture_sentence(concept, names, picture);
    g_autoptr(GDateTime) now = g_date_time_new_now_local();
    g_autofree char *today = g_date_time_format(now, "%F");
    const RbConceptPage page = { .title = concept->name,
                                 .picture = against,
                                 .notes = concept->notes,
                                 .diagram = &diagram,
                                 .reads = (const char *const *)reads,
                                 .rules = (const char *const *)sentences,
                                 .made_on = today };
    g_autoptr(GByteArray) bytes = draw(&page, path, error);
    if (bytes == NULL) {
        return false;
    }
    g_autoptr(GError) failure = NULL;
    if (!g_file_set_contents(path, (const char *)bytes->data, (gssize)bytes->len,
                             &failure)) {
        return rb_error_set(error, RB_WORK_ERROR, RB_WORK_ERROR_FAILED,
                            _("The page cannot be written to %s: %s"), path,
                            failure->message);
    }
    return true;
}
