/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "config.h"

#include "intake-errands.h"

#include <glib/gi18n.h>
#include <string.h>

#include "rb/base/error.h"
#include "rb/work/error.h"

#include "errands.h"

/* words: (transfer full). */
static char *copy_text(const void *text, void *nothing)
{
    (void)nothing;
    return g_strdup(text);
}

RbLogAsk *rb_log_ask_copy(const RbLogAsk *ask)
{
    RbLogAsk *copy = g_memdup2(ask, sizeof *ask);
    copy->path = g_strdup(ask->path);
    copy->us = g_strdup(ask->us);
    copy->maps = g_ptr_array_copy(ask->maps, (GCopyFunc)copy_text, NULL);
    g_ptr_array_set_free_func(copy->maps, g_free);
    return copy;
}

void rb_log_ask_free(void *data)
{
    RbLogAsk *ask = data;
    g_free(ask->path);
    g_free(ask->us);
    g_ptr_array_unref(ask->maps);
    g_free(ask);
}

void rb_log_answer_free(void *plan)
{
    rb_log_plan_free(plan);
}

static RbLogPlan *plan_log(RbStoreSide *side, const RbLogAsk *ask, GError **error)
{
    g_autoptr(GPtrArray) maps = g_ptr_array_copy(ask->maps, (GCopyFunc)copy_text, NULL);
    g_autoptr(GBytes) bytes = rb_store_side_has_library(side, error)
                                  ? rb_log_read_file(ask->path, error)
                                  : NULL;
    g_ptr_array_set_free_func(maps, g_free);
    g_ptr_array_add(maps, NULL);
    const RbLogOptions options = {
        .maps = (const char *const *)maps->pdata,
        .yards = ask->yards,
        .align = ask->align,
        .us = *ask->us != '\0' ? ask->us : NULL,
    };
    return bytes != NULL ? rb_library_plan_log(side->library, ask->game, bytes, ask->path,
                                               &options, error)
                         : NULL;
}

void *rb_errand_plan_log(RbStoreSide *side, void *ask, RbCancel *cancel,
                         RbProgress *progress, GError **error)
{
    (void)cancel;
    (void)progress;
    return plan_log(side, ask, error);
}

/* Planned once more: what somebody tagged in the meantime is not overwritten. */
void *rb_errand_apply_log(RbStoreSide *side, void *data, RbCancel *cancel,
                          RbProgress *progress, GError **error)
{
    (void)cancel;
    (void)progress;
    const RbLogAsk *ask = data;
    g_autofree char *words = NULL;
    g_autoptr(RbLogPlan) plan = plan_log(side, ask, error);
    if (plan == NULL || !rb_library_apply_log(side->library, plan, &words, error)) {
        return NULL;
    }
    g_autoptr(GError) failure = NULL;
    g_autofree char *rejected = rb_log_write_rejected(plan, ask->path, &failure);
    if (failure != NULL) {
        return rb_words_answer_new(g_strdup_printf("%s %s", words, failure->message));
    }
    if (rejected == NULL) {
        return rb_words_answer_new(g_steal_pointer(&words));
    }
    return rb_words_answer_new(
        g_strdup_printf(_("%s. The rows left out are in %s"), words, rejected));
}

void rb_intake_ask_free(void *data)
{
    RbIntakeAsk *ask = data;
    rb_intake_free(ask->intake);
    g_free(ask);
}

void *rb_errand_save_intake(RbStoreSide *side, void *data, RbCancel *cancel,
                            RbProgress *progress, GError **error)
{
    const RbIntakeAsk *ask = data;
    RbIntakeSaved saved = { 0 };
    if (!rb_store_side_has_library(side, error)) {
        return NULL;
    }
    g_autofree char *folder =
        ask->copy ? rb_film_folder_of(rb_library_get_path(side->library)) : NULL;
    if (!rb_library_save_intake(side->library, ask->intake, folder, &saved, cancel,
                                progress, error)) {
        return NULL;
    }
    if (saved.films + saved.clips + saved.snaps == 0) {
        return rb_words_answer_new(
            g_strdup(_("All of it was in the library already; nothing was changed.")));
    }
    return rb_words_answer_new(
        g_strdup_printf(_("Loaded: %d films, %d clips, %d new snaps."), saved.films,
                        saved.clips, saved.snaps));
}

void rb_snap_search_answer_free(void *search)
{
    rb_snap_search_free(search);
}

void *rb_errand_start_snap_search(RbStoreSide *side, void *game, RbCancel *cancel,
                                  RbProgress *progress, GError **error)
{
    (void)progress;
    return rb_store_side_has_library(side, error)
               ? rb_library_start_snap_search(side->library, *(const RbGameId *)game,
                                              false, cancel, error)
               : NULL;
}

void *rb_errand_save_snap_marks(RbStoreSide *side, void *found, RbCancel *cancel,
                                RbProgress *progress, GError **error)
{
    (void)progress;
    RbSnapSearch *search = found;
    int written = 0;
    if (!rb_store_side_has_library(side, error) ||
        !rb_snap_search_tell_times(search, cancel, error) ||
        !rb_library_save_snap_marks(side->library, search->proposals, 0, &written,
                                    error)) {
        return NULL;
    }
    return rb_words_answer_new(g_strdup_printf(
        ngettext("%d snap mark written.", "%d snap marks written.", (gulong)written),
        written));
}

void rb_exchange_answer_free(void *data)
{
    RbExchangeAnswer *answer = data;
    g_clear_pointer(&answer->laptops, g_ptr_array_unref);
    g_clear_pointer(&answer->disputes, g_ptr_array_unref);
    g_free(answer->trouble);
    g_free(answer);
}

void *rb_errand_exchange(RbStoreSide *side, void *folder, RbCancel *cancel,
                         RbProgress *progress, GError **error)
{
    (void)cancel;
    (void)progress;
    if (!rb_store_side_has_library(side, error)) {
        return NULL;
    }
    g_autoptr(GError) failure = NULL;
    RbExchangeAnswer *answer = g_new0(RbExchangeAnswer, 1);
    answer->disputes = rb_exchange_load_disputes(side->library, error);
    if (answer->disputes == NULL) {
        rb_exchange_answer_free(answer);
        return NULL;
    }
    if (*(const char *)folder != '\0') {
        answer->laptops = rb_exchange_status(side->library, folder, &failure);
        answer->trouble = failure != NULL ? g_strdup(failure->message) : NULL;
    }
    return answer;
}

void *rb_errand_send(RbStoreSide *side, void *folder, RbCancel *cancel,
                     RbProgress *progress, GError **error)
{
    RbExchangeSent sent = { 0 };
    if (!rb_store_side_has_library(side, error) ||
        !rb_exchange_send(side->library, folder, &sent, cancel, progress, error)) {
        return NULL;
    }
    return rb_words_answer_new(
        sent.actions == 0
            ? g_strdup(_("The folder has all of this laptop's work."))
            : g_strdup_printf(
                  ngettext("Sent: %d change.", "Sent: %d changes.", (gulong)sent.actions),
                  (int)sent.actions));
}

void *rb_errand_take(RbStoreSide *side, void *folder, RbCancel *cancel,
                     RbProgress *progress, GError **error)
{
    g_autoptr(RbExchangeReceived) received =
        rb_store_side_has_library(side, error)
            ? rb_exchange_receive(side->library, folder, cancel, progress, error)
            : NULL;
    if (received == NULL) {
        return NULL;
    }
    GString *text = g_string_new(NULL);
    g_string_printf(
        text,
        ngettext("Taken: %d change.", "Taken: %d changes.", (gulong)received->actions),
        (int)received->actions);
    for (guint i = 0; i < received->lines->len; i++) {
        const RbExchangeLine *line = received->lines->pdata[i];
        if (line->sentence != NULL) {
            g_string_append_printf(text, " %s", line->sentence);
        }
    }
    return rb_words_answer_new(g_string_free(text, FALSE));
}

void rb_dispute_ask_free(void *data)
{
    RbDisputeAsk *ask = data;
    g_free(ask->what);
    g_free(ask->text);
    g_free(ask);
}

void *rb_errand_settle_dispute(RbStoreSide *side, void *data, RbCancel *cancel,
                               RbProgress *progress, GError **error)
{
    (void)cancel;
    (void)progress;
    const RbDisputeAsk *ask = data;
    g_autoptr(GPtrArray) disputes = rb_store_side_has_library(side, error)
                                        ? rb_exchange_load_disputes(side->library, error)
                                        : NULL;
    for (guint i = 0; disputes != NULL && i < disputes->len; i++) {
        const RbDispute *dispute = disputes->pdata[i];
        for (guint k = 0; k < dispute->values->len; k++) {
            const RbDisputeValue *value = dispute->values->pdata[k];
            if (strcmp(dispute->what, ask->what) == 0 &&
                strcmp(value->text, ask->text) == 0) {
                return rb_exchange_settle(side->library, dispute, (int)k, error)
                           ? rb_words_answer_new(g_strdup_printf(_("Settled: %s is %s."),
                                                                 ask->what, ask->text))
                           : NULL;
            }
        }
    }
    if (disputes != NULL) {
        rb_error_set(error, RB_WORK_ERROR, RB_WORK_ERROR_NOT_FOUND,
                     _("%s is settled already."), ask->what);
    }
    return NULL;
}
