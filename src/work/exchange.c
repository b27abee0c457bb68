/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "config.h"

#include "rb/work/exchange.h"

#include <glib/gi18n-lib.h>
#include <string.h>

#include "rb/base/error.h"
#include "rb/store/statement.h"
#include "rb/work/error.h"

#include "exchange-folder.h"
#include "library-private.h"

/* Actions of one file: some nights' work. More files than FILES_MANY are put together. */
enum { ACTIONS_A_FILE = 5000, FILES_MANY = 50, WAITING_KEPT = 32 };

/* What the folder holds of one laptop. */
typedef struct {
    int64_t last; /* held without a gap from 1 */
    bool sound;   /* no file is damaged, none holds a name forgotten since */
    int files;
} Held;

/* Only this laptop writes these files, so a damaged one is written anew. */
static bool look_at_own(RbStore *store, const char *folder, const GArray *ranges,
                        int64_t laptop, Held *held, RbCancel *cancel, GError **error)
{
    const int64_t forgotten = rb_store_count_forgotten(store, error);
    if (forgotten < 0) {
        return false;
    }
    *held = (Held){ .sound = true };
    for (guint i = 0; i < ranges->len; i++) {
        const RbParcelRange *range = &g_array_index(ranges, RbParcelRange, i);
        if (range->laptop != laptop) {
            continue;
        }
        if (!rb_cancel_check(cancel, error)) {
            return false;
        }
        bool gone = false;
        g_autoptr(RbParcel) parcel = rb_folder_read(folder, range, &gone, NULL);
        held->sound =
            held->sound && parcel != NULL && rb_parcel_forgotten(parcel) == forgotten;
        held->files++;
        if (range->first <= held->last + 1) {
            held->last = MAX(held->last, range->last);
        }
    }
    return true;
}

static bool write_range(RbStore *store, const char *folder, const RbParcelRange *whole,
                        RbExchangeSent *sent, GHashTable *kept, RbCancel *cancel,
                        GError **error)
{
    for (int64_t first = whole->first; first <= whole->last; first += ACTIONS_A_FILE) {
        const RbParcelRange range = { whole->laptop, first,
                                      MIN(first + ACTIONS_A_FILE - 1, whole->last) };
        g_autoptr(GBytes) bytes =
            rb_cancel_check(cancel, error) ? rb_store_pack(store, &range, error) : NULL;
        if (bytes == NULL || !rb_folder_write(folder, &range, bytes, error)) {
            return false;
        }
        g_hash_table_add(kept, rb_parcel_file_name(&range));
        sent->files++;
    }
    return true;
}

/* Takes away the files of a laptop that were written anew under other names. */
static bool remove_others(const char *folder, const GArray *ranges, int64_t laptop,
                          GHashTable *kept, GError **error)
{
    for (guint i = 0; i < ranges->len; i++) {
        const RbParcelRange *range = &g_array_index(ranges, RbParcelRange, i);
        g_autofree char *name = rb_parcel_file_name(range);
        if (range->laptop == laptop && !g_hash_table_contains(kept, name) &&
            !rb_folder_remove(folder, range, error)) {
            return false;
        }
    }
    return true;
}

static bool send_one(RbStore *store, const char *folder, const GArray *ranges,
                     const RbParcelRange *own, RbExchangeSent *sent, RbCancel *cancel,
                     GError **error)
{
    Held held;
    if (!look_at_own(store, folder, ranges, own->laptop, &held, cancel, error)) {
        return false;
    }
    if (held.last > own->last) {
        g_autofree char *name = g_filename_display_name(rb_store_get_path(store));
        return rb_error_set(
            error, RB_WORK_ERROR, RB_WORK_ERROR_EXISTS,
            _("The library %s was set back: the folder holds later work of its own; copy it "
              "to another name, open the copy and receive first."),
            name);
    }
    const bool anew = held.files > 0 && (!held.sound || held.files > FILES_MANY);
    const RbParcelRange range = { own->laptop, anew ? 1 : held.last + 1, own->last };
    sent->actions += own->last - held.last;
    sent->anew = sent->anew || anew;
    g_autoptr(GHashTable) kept =
        g_hash_table_new_full(g_str_hash, g_str_equal, g_free, NULL);
    return write_range(store, folder, &range, sent, kept, cancel, error) &&
           (!anew || remove_others(folder, ranges, own->laptop, kept, error));
}

bool rb_exchange_send(RbLibrary *library, const char *folder, RbExchangeSent *sent,
                      RbCancel *cancel, RbProgress *progress, GError **error)
{
    RbStore *store = rb_library_store(library);
    *sent = (RbExchangeSent){ 0 };
    g_autoptr(GArray) ranges = rb_folder_list(folder, error);
    g_autoptr(GArray) own = ranges != NULL ? rb_store_own_ranges(store, error) : NULL;
    if (own == NULL) {
        return false;
    }
    for (guint i = 0; i < own->len; i++) {
        rb_progress_set(progress, (double)i / own->len, NULL);
        if (!send_one(store, folder, ranges, &g_array_index(own, RbParcelRange, i), sent,
                      cancel, error)) {
            return false;
        }
    }
    rb_progress_set(progress, 1, NULL);
    return true;
}

static void line_free(void *data)
{
    RbExchangeLine *line = data;
    g_free(line->file);
    g_free(line->who);
    g_free(line->sentence);
    g_free(line);
}

void rb_exchange_received_free(RbExchangeReceived *received)
{
    if (received != NULL) {
        g_ptr_array_unref(received->lines);
        g_free(received);
    }
}

/* Who works on a laptop: the person of most of its actions. Returns: (transfer full): ""
 * when nobody is known. */
static char *who_works(RbStore *store, int64_t laptop)
{
    g_autoptr(RbStatement) query = rb_statement_new(
        store,
        "SELECT p.name FROM action a JOIN person p ON p.id = a.person WHERE a.laptop = ?"
        " AND p.name IS NOT NULL GROUP BY p.id ORDER BY count(*) DESC, p.name LIMIT 1",
        NULL);
    if (query == NULL) {
        return g_strdup("");
    }
    rb_statement_bind_int(query, laptop);
    const char *name = rb_statement_step(query, NULL) == RB_STEP_ROW
                           ? rb_statement_get_text(query, "name")
                           : NULL;
    return g_strdup(name != NULL ? name : "");
}

/* The line of a file; made when it has none yet. */
static RbExchangeLine *line_of(RbExchangeReceived *received, const RbParcelRange *range)
{
    g_autofree char *file = rb_parcel_file_name(range);
    for (guint i = 0; i < received->lines->len; i++) {
        RbExchangeLine *line = g_ptr_array_index(received->lines, i);
        if (strcmp(line->file, file) == 0) {
            return line;
        }
    }
    RbExchangeLine *line = g_new0(RbExchangeLine, 1);
    line->file = g_steal_pointer(&file);
    g_ptr_array_add(received->lines, line);
    return line;
}

/* Whether a failure is the file's, so that the others can still be taken. */
static bool is_of_file(const GError *error)
{
    return g_error_matches(error, RB_STORE_ERROR, RB_STORE_ERROR_DAMAGED) ||
           g_error_matches(error, RB_STORE_ERROR, RB_STORE_ERROR_NEWER) ||
           error->domain == RB_WORK_ERROR;
}

static bool note_refused(RbExchangeReceived *received, const RbParcelRange *range,
                         GError *failure, GError **error)
{
    if (!is_of_file(failure)) {
        g_propagate_error(error, failure);
        return false;
    }
    RbExchangeLine *line = line_of(received, range);
    line->fate = RB_EXCHANGE_REFUSED;
    g_free(line->sentence);
    line->sentence = g_strdup(failure->message);
    g_error_free(failure);
    return true;
}

static void note_report(RbExchangeReceived *received, const RbParcelRange *range,
                        const RbParcelReport *report)
{
    if (report->outcome == RB_PARCEL_KNOWN) {
        return;
    }
    RbExchangeLine *line = line_of(received, range);
    g_clear_pointer(&line->sentence, g_free);
    line->actions += report->actions;
    received->actions += report->actions;
    received->fields += report->fields;
    line->fate = RB_EXCHANGE_TAKEN;
    if (report->outcome == RB_PARCEL_WAITS) {
        line->fate = RB_EXCHANGE_WAITS;
        line->sentence = g_strdup(
            line->actions == 0 ? _("It builds on work that has not come yet and is taken "
                                   "once that is in the folder: ask the others to send.")
                               : _("The rest of it builds on work that has not come yet "
                                   "and is taken once that is in the folder: ask the "
                                   "others to send."));
    }
}

/* Whether a file need not be opened: all of it is known, and no name was forgotten that a
 * file written anew could take out of what is known. */
static bool is_known(RbStore *store, const RbParcelRange *range, int64_t forgotten,
                     bool *known, GError **error)
{
    const int64_t last = rb_store_last_action(store, range->laptop, error);
    *known = last >= range->last && forgotten == 0;
    return last >= 0;
}

/* A file of which some builds on what has not come yet. */
typedef struct {
    RbParcelRange range;
    int64_t missing;  /* the laptop whose work it waits for … */
    int64_t then;     /* … and how far that was known when it was looked at */
    RbParcel *parcel; /* owned, nullable: kept read while only few wait */
} Waiting;

static void waiting_free(void *data)
{
    Waiting *waiting = data;
    rb_parcel_free(waiting->parcel);
    g_free(waiting);
}

static bool note_waiting(RbStore *store, GPtrArray *queue, const RbParcelRange *range,
                         const RbParcelReport *report, RbParcel **parcel, GError **error)
{
    Waiting *waiting = g_new0(Waiting, 1);
    g_ptr_array_add(queue, waiting);
    waiting->range = *range;
    waiting->missing = report->missing_laptop;
    waiting->then = rb_store_last_action(store, report->missing_laptop, error);
    if (queue->len <= WAITING_KEPT) {
        waiting->parcel = g_steal_pointer(parcel);
    }
    return waiting->then >= 0;
}

/* parcel: (transfer full) (nullable): the file's, if it was read before. queue: gains the file
 * if it waits. */
static bool receive_file(RbStore *store, const char *folder, const RbParcelRange *range,
                         RbParcel *given, RbExchangeReceived *received, GPtrArray *queue,
                         GError **error)
{
    g_autoptr(RbParcel) parcel = given;
    const int64_t forgotten = rb_store_count_forgotten(store, error);
    bool known = false;
    if (forgotten < 0 || !is_known(store, range, forgotten, &known, error)) {
        return false;
    }
    if (known) {
        return true;
    }
    GError *failure = NULL;
    bool gone = false;
    g_autofree char *name = rb_parcel_file_name(range);
    if (parcel == NULL) {
        parcel = rb_folder_read(folder, range, &gone, &failure);
    }
    if (gone) {
        return true;
    }
    RbParcelReport report = { 0 };
    if (parcel == NULL ||
        !rb_store_apply_parcel(store, parcel, name, &report, &failure)) {
        return note_refused(received, range, failure, error);
    }
    note_report(received, range, &report);
    return report.outcome != RB_PARCEL_WAITS ||
           note_waiting(store, queue, range, &report, &parcel, error);
}

/* Looks at those again for which work has come since. again: (out): there was one. Returns:
 * (transfer full): those that wait still; NULL on failure. */
static GPtrArray *receive_waiting(RbStore *store, const char *folder, GPtrArray *queue,
                                  RbExchangeReceived *received, bool *again,
                                  RbCancel *cancel, GError **error)
{
    g_autoptr(GPtrArray) still = g_ptr_array_new_with_free_func(waiting_free);
    *again = false;
    while (queue->len > 0) {
        g_autofree Waiting *waiting = g_ptr_array_steal_index(queue, 0);
        g_autoptr(RbParcel) parcel = g_steal_pointer(&waiting->parcel);
        const int64_t now = rb_store_last_action(store, waiting->missing, error);
        if (now < 0 || !rb_cancel_check(cancel, error)) {
            return NULL;
        }
        if (now == waiting->then) {
            waiting->parcel = g_steal_pointer(&parcel);
            g_ptr_array_add(still, g_steal_pointer(&waiting));
            continue;
        }
        *again = true;
        if (!receive_file(store, folder, &waiting->range, g_steal_pointer(&parcel),
                          received, still, error)) {
            return NULL;
        }
    }
    return g_steal_pointer(&still);
}

static void finish(RbStore *store, const GArray *ranges, RbExchangeReceived *received)
{
    for (guint i = 0; i < ranges->len; i++) {
        const RbParcelRange *range = &g_array_index(ranges, RbParcelRange, i);
        g_autofree char *file = rb_parcel_file_name(range);
        for (guint j = 0; j < received->lines->len; j++) {
            RbExchangeLine *line = g_ptr_array_index(received->lines, j);
            if (strcmp(line->file, file) == 0) {
                g_free(line->who);
                line->who = who_works(store, range->laptop);
            }
        }
    }
    for (guint i = 0; i < received->lines->len; i++) {
        const RbExchangeLine *line = g_ptr_array_index(received->lines, i);
        received->waiting += line->fate == RB_EXCHANGE_WAITS ? 1 : 0;
        received->refused += line->fate == RB_EXCHANGE_REFUSED ? 1 : 0;
    }
}

static bool receive_all(RbStore *store, const char *folder, const GArray *ranges,
                        RbExchangeReceived *received, RbCancel *cancel,
                        RbProgress *progress, GError **error)
{
    g_autoptr(GPtrArray) queue = g_ptr_array_new_with_free_func(waiting_free);
    for (guint i = 0; i < ranges->len; i++) {
        rb_progress_set(progress, (double)i / ranges->len, NULL);
        if (!rb_cancel_check(cancel, error) ||
            !receive_file(store, folder, &g_array_index(ranges, RbParcelRange, i), NULL,
                          received, queue, error)) {
            return false;
        }
    }
    for (bool again = true; again;) {
        GPtrArray *still =
            receive_waiting(store, folder, queue, received, &again, cancel, error);
        if (still == NULL) {
            return false;
        }
        g_ptr_array_unref(queue);
        queue = still;
    }
    return true;
}

RbExchangeReceived *rb_exchange_receive(RbLibrary *library, const char *folder,
                                        RbCancel *cancel, RbProgress *progress,
                                        GError **error)
{
    RbStore *store = rb_library_store(library);
    g_autoptr(GArray) ranges = rb_folder_list(folder, error);
    if (ranges == NULL) {
        return NULL;
    }
    g_autoptr(RbExchangeReceived) received = g_new0(RbExchangeReceived, 1);
    received->lines = g_ptr_array_new_with_free_func(line_free);
    const bool done =
        receive_all(store, folder, ranges, received, cancel, progress, error);
    if (received->actions > 0) { /* stopped on the way, the files before are taken */
        rb_library_note_change(library);
    }
    if (!done) {
        return NULL;
    }
    finish(store, ranges, received);
    rb_progress_set(progress, 1, NULL);
    return g_steal_pointer(&received);
}

static void laptop_free(void *data)
{
    RbExchangeLaptop *laptop = data;
    g_free(laptop->who);
    g_free(laptop);
}

static RbExchangeLaptop *laptop_of(GPtrArray *laptops, int64_t id)
{
    for (guint i = 0; i < laptops->len; i++) {
        RbExchangeLaptop *laptop = g_ptr_array_index(laptops, i);
        if (laptop->laptop == id) {
            return laptop;
        }
    }
    RbExchangeLaptop *laptop = g_new0(RbExchangeLaptop, 1);
    laptop->laptop = id;
    g_ptr_array_add(laptops, laptop);
    return laptop;
}

static bool list_here(RbStore *store, GPtrArray *laptops, GError **error)
{
    g_autoptr(RbStatement) query = rb_statement_new(
        store,
        "SELECT l.id, l.mine, coalesce(max(a.number), 0) AS last FROM laptop l"
        " LEFT JOIN action a ON a.laptop = l.id GROUP BY l.id"
        " ORDER BY l.mine DESC, l.id",
        error);
    if (query == NULL) {
        return false;
    }
    RbStep step;
    while ((step = rb_statement_step(query, error)) == RB_STEP_ROW) {
        RbExchangeLaptop *laptop = laptop_of(laptops, rb_statement_get_int(query, "id"));
        laptop->mine = rb_statement_get_int(query, "mine") != 0;
        laptop->here = rb_statement_get_int(query, "last");
    }
    return step == RB_STEP_DONE;
}

GPtrArray *rb_exchange_status(RbLibrary *library, const char *folder, GError **error)
{
    RbStore *store = rb_library_store(library);
    g_autoptr(GArray) ranges = rb_folder_list(folder, error);
    g_autoptr(GPtrArray) laptops = g_ptr_array_new_with_free_func(laptop_free);
    if (ranges == NULL || !list_here(store, laptops, error)) {
        return NULL;
    }
    for (guint i = 0; i < ranges->len; i++) {
        const RbParcelRange *range = &g_array_index(ranges, RbParcelRange, i);
        RbExchangeLaptop *laptop = laptop_of(laptops, range->laptop);
        laptop->in_folder = MAX(laptop->in_folder, range->last);
    }
    for (guint i = 0; i < laptops->len; i++) {
        RbExchangeLaptop *laptop = g_ptr_array_index(laptops, i);
        laptop->who = who_works(store, laptop->laptop);
    }
    return g_steal_pointer(&laptops);
}
