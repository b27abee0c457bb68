/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "config.h"

#include "rb/work/playbooks.h"

#include <errno.h>
#include <fcntl.h>
#include <glib/gi18n-lib.h>
#include <glib/gstdio.h>
#include <string.h>
#include <unistd.h>

#include "rb/base/error.h"
#include "rb/base/told.h"
#include "rb/book/check.h"
#include "rb/book/playbook.h"
#include "rb/store/playbook.h"
#include "rb/work/error.h"

#include "library-private.h"

/* The text of a file that may be anything. Returns: (transfer full) (nullable). */
static char *read_file(const char *path, size_t *length, GError **error)
{
    /* Without O_NONBLOCK the opening of a pipe would wait for a writer. */
    const int fd = g_open(path, O_RDONLY | O_CLOEXEC | O_NONBLOCK, 0);
    GStatBuf info;
    if (fd < 0) {
        rb_error_errno(error, RB_WORK_ERROR, RB_WORK_ERROR_FAILED, errno,
                       "The playbook %s cannot be read", path);
        return NULL;
    }
    if (fstat(fd, &info) != 0 || !S_ISREG(info.st_mode)) {
        close(fd);
        rb_error_set(error, RB_WORK_ERROR, RB_WORK_ERROR_VALUE,
                     _("%s is not a file: name a playbook file."), path);
        return NULL;
    }
    close(fd);
    if (info.st_size > RB_BOOK_BYTES_MAX) {
        rb_error_set(error, RB_WORK_ERROR, RB_WORK_ERROR_VALUE,
                     _("%s is larger than a playbook can be: name a playbook file."),
                     path);
        return NULL;
    }
    char *text = NULL;
    g_autoptr(GError) failure = NULL;
    if (!g_file_get_contents(path, &text, length, &failure)) {
        rb_error_set(error, RB_WORK_ERROR, RB_WORK_ERROR_FAILED,
                     _("The playbook %s cannot be read: %s"), path, failure->message);
    }
    return text;
}

/* A rule that names a read that is not there, and the like. */
static bool check_concepts(const GPtrArray *concepts, const GPtrArray *terms,
                           GError **error)
{
    for (guint i = 0; i < concepts->len; i++) {
        const RbConcept *concept = concepts->pdata[i];
        g_autoptr(GPtrArray) findings = rb_book_check(concept, terms, NULL);
        for (guint j = 0; j < findings->len; j++) {
            const RbBookFinding *finding = findings->pdata[j];
            if (finding->is_error) {
                return rb_error_set(error, RB_WORK_ERROR, RB_WORK_ERROR_VALUE,
                                    _("%s: %s"), concept->name, finding->sentence);
            }
        }
    }
    return true;
}

static GPtrArray *load_file(const char *path, const GPtrArray *terms, GError **error)
{
    size_t length = 0;
    g_autofree char *text = read_file(path, &length, error);
    if (text == NULL) {
        return NULL;
    }
    g_autoptr(GPtrArray) concepts = NULL;
    if (!rb_book_parse(text, length, terms, &concepts, error) ||
        !check_concepts(concepts, terms, error)) {
        g_prefix_error(error, "%s: ", path);
        return NULL;
    }
    return g_steal_pointer(&concepts);
}

bool rb_playbook_check_file(const char *path, int *count, GError **error)
{
    g_autoptr(GPtrArray) terms = rb_vocabulary_defaults();
    g_autoptr(GPtrArray) concepts = load_file(path, terms, error);
    if (concepts != NULL && count != NULL) {
        *count = (int)concepts->len;
    }
    return concepts != NULL;
}

bool rb_library_save_concept(RbStore *store, const RbConcept *concept,
                             const GPtrArray *terms, GError **error)
{
    g_autofree char *document = rb_book_concept_print(concept, terms);
    g_autoptr(RbConceptRow) row =
        rb_concept_row_new(concept->id, concept->token, concept->name, document);
    return rb_store_save_concept(store, row, NULL, error);
}

/* Whether the library's concept of that token reads the same. A concept that is new to it keeps
 * its own id; a known one keeps the library's. */
static bool is_different(RbConcept *concept, const RbNames *names)
{
    const GPtrArray *terms = rb_names_terms(names);
    for (guint i = 0; i < rb_names_concepts(names)->len; i++) {
        const RbConcept *have = rb_names_concepts(names)->pdata[i];
        if (strcmp(have->token, concept->token) == 0) {
            concept->id = have->id;
            g_autofree char *old = rb_book_concept_print(have, terms);
            g_autofree char *new = rb_book_concept_print(concept, terms);
            return strcmp(old, new) != 0;
        }
    }
    return true;
}

static bool save_all(RbLibrary *library, const GPtrArray *concepts, const RbNames *names,
                     GError **error)
{
    for (guint i = 0; i < concepts->len; i++) {
        if (!rb_library_save_concept(rb_library_store(library), concepts->pdata[i],
                                     rb_names_terms(names), error)) {
            return false;
        }
    }
    return true;
}

bool rb_library_import_playbook(RbLibrary *library, const char *path, int *changed,
                                GError **error)
{
    g_autoptr(RbNames) names = rb_library_load_names(library, error);
    g_autoptr(GPtrArray) concepts =
        names != NULL ? load_file(path, rb_names_terms(names), error) : NULL;
    if (concepts == NULL) {
        return false;
    }
    g_autoptr(GPtrArray) different = g_ptr_array_new();
    for (guint i = 0; i < concepts->len; i++) {
        if (is_different(concepts->pdata[i], names)) {
            g_ptr_array_add(different, concepts->pdata[i]);
        }
    }
    if (changed != NULL) {
        *changed = (int)different->len;
    }
    if (different->len == 0) {
        return true;
    }
    g_autofree char *file = g_path_get_basename(path);
    g_autofree char *words =
        rb_told_many("playbook \"%s\" taken in: %u concept new or different",
                     "playbook \"%s\" taken in: %u concepts new or different",
                     different->len, file, different->len);
    if (!rb_library_begin(library, words, error)) {
        return false;
    }
    if (!save_all(library, different, names, error)) {
        rb_library_rollback(library);
        return false;
    }
    return rb_library_commit(library, true, error);
}

bool rb_library_export_playbook(RbLibrary *library, const char *path, GError **error)
{
    g_autoptr(RbNames) names = rb_library_load_names(library, error);
    if (names == NULL) {
        return false;
    }
    if (g_file_test(path, G_FILE_TEST_EXISTS)) {
        return rb_error_set(error, RB_WORK_ERROR, RB_WORK_ERROR_EXISTS,
                            _("%s exists already: give another name or remove it."),
                            path);
    }
    g_autofree char *text =
        rb_book_print(rb_names_concepts(names), rb_names_terms(names));
    g_autoptr(GError) failure = NULL;
    if (!g_file_set_contents(path, text, -1, &failure)) {
        return rb_error_set(error, RB_WORK_ERROR, RB_WORK_ERROR_FAILED,
                            _("The playbook cannot be written to %s: %s"), path,
                            failure->message);
    }
    return true;
}
