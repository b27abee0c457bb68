/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "config.h"

#include "playbook-draft.h"

#include <glib/gi18n.h>

#include "rb/book/check.h"
#include "rb/work/playbook-edit.h"

/* Keys that follow one another closely, as when a number is stepped, make one revision. */
#define SAVE_AFTER_MS 120

struct _RbPlaybookDraft {
    GObject parent_instance;
    RbSession *session; /* owned */
    RbNames *names;     /* owned, nullable */
    RbConcept *concept; /* owned, nullable */
    bool is_dirty;      /* it may differ from what the library has */
    guint save_id;
    GPtrArray *findings; /* owned, nullable */
    int read;
    int rule;
    RbPictureTry picture;
    RbTryAnswer answer;
};

G_DEFINE_FINAL_TYPE(RbPlaybookDraft, rb_playbook_draft, G_TYPE_OBJECT)

enum { LIST, CONCEPT, CHOSEN, PICTURE, N_SIGNALS };
static guint signals[N_SIGNALS];

static void emit(RbPlaybookDraft *draft, int signal)
{
    g_signal_emit(draft, signals[signal], 0);
}

static bool has_errors(const RbPlaybookDraft *draft)
{
    return draft->findings != NULL && draft->findings->len > 0 &&
           ((const RbBookFinding *)draft->findings->pdata[0])->is_error;
}

/* What follows from the concept: findings, order, a read and a rule that are there. */
static void derive(RbPlaybookDraft *draft)
{
    g_clear_pointer(&draft->findings, g_ptr_array_unref);
    rb_try_answer_clear(&draft->answer);
    if (draft->concept == NULL) {
        return;
    }
    draft->findings = rb_book_check(draft->concept, rb_names_terms(draft->names),
                                    rb_names_footwork(draft->names));
    rb_concept_try(draft->concept, draft->names, &draft->picture, &draft->answer);
    if (rb_concept_find_read(draft->concept, draft->read) == NULL) {
        const GPtrArray *reads = draft->concept->reads;
        draft->read = reads->len > 0 ? ((const RbRead *)reads->pdata[0])->number : 0;
    }
    draft->rule = CLAMP(draft->rule, -1, (int)draft->concept->rules->len - 1);
}

static void show(RbPlaybookDraft *draft)
{
    derive(draft);
    emit(draft, CONCEPT);
    emit(draft, CHOSEN);
    emit(draft, PICTURE);
}

static void set_concept(RbPlaybookDraft *draft, const RbConcept *concept)
{
    RbConcept *copy = concept != NULL ? rb_concept_copy(concept) : NULL;
    rb_try_answer_clear(&draft->answer); /* it borrows from the concept */
    rb_concept_free(draft->concept);
    draft->concept = copy;
    draft->is_dirty = false;
}

static void send_draft(RbPlaybookDraft *draft)
{
    g_clear_handle_id(&draft->save_id, g_source_remove);
    if (draft->concept != NULL && draft->is_dirty && !has_errors(draft)) {
        rb_session_change(draft->session, rb_errand_put_concept,
                          rb_concept_copy(draft->concept),
                          (GDestroyNotify)rb_concept_free);
    }
}

/* The concept is left: what can be saved is, what cannot is told. */
static void leave(RbPlaybookDraft *draft)
{
    send_draft(draft);
    if (draft->concept != NULL && draft->is_dirty && has_errors(draft)) {
        const RbBookFinding *first = draft->findings->pdata[0];
        g_autofree char *sentence =
            g_strdup_printf(_("The last change of %s was not saved: %s"),
                            draft->concept->name, first->sentence);
        g_signal_emit_by_name(draft->session, "said", sentence);
    }
}

static void on_save(gpointer data)
{
    RbPlaybookDraft *draft = data;
    draft->save_id = 0;
    send_draft(draft);
}

RbConcept *rb_playbook_draft_edit(RbPlaybookDraft *draft)
{
    g_return_val_if_fail(RB_IS_PLAYBOOK_DRAFT(draft), NULL);
    return draft->concept;
}

void rb_playbook_draft_edited(RbPlaybookDraft *draft)
{
    g_return_if_fail(RB_IS_PLAYBOOK_DRAFT(draft));
    draft->is_dirty = true;
    g_clear_handle_id(&draft->save_id, g_source_remove);
    draft->save_id = g_timeout_add_once(SAVE_AFTER_MS, on_save, draft);
    show(draft);
}

static const RbConcept *first_shown(const RbNames *names)
{
    const GPtrArray *concepts = rb_names_concepts(names);
    for (guint i = 0; i < concepts->len; i++) {
        const RbConcept *concept = concepts->pdata[i];
        if (!concept->hidden) {
            return concept;
        }
    }
    return concepts->len > 0 ? concepts->pdata[0] : NULL;
}

/* The library was read anew. A draft on its way there, or one that cannot go, stays. */
static void on_names(RbPlaybookDraft *draft)
{
    RbNames *names = rb_session_get_names(draft->session);
    if (names == NULL || names == draft->names) {
        return;
    }
    rb_names_unref(draft->names);
    draft->names = rb_names_ref(names);
    const RbConcept *have =
        draft->concept != NULL ? rb_names_find_concept(names, draft->concept->id) : NULL;
    const bool on_its_way = draft->save_id != 0 || rb_session_is_changing(draft->session);
    const bool waits =
        draft->concept != NULL && draft->is_dirty && (on_its_way || has_errors(draft));
    if (!waits) {
        set_concept(draft, have != NULL ? have : first_shown(names));
    }
    emit(draft, LIST);
    show(draft);
}

void rb_playbook_draft_choose(RbPlaybookDraft *draft, RbConceptId id)
{
    g_return_if_fail(RB_IS_PLAYBOOK_DRAFT(draft));
    if (draft->names == NULL ||
        (draft->concept != NULL && draft->concept->id.value == id.value)) {
        return;
    }
    const RbConcept *concept = rb_names_find_concept(draft->names, id);
    if (concept != NULL) {
        leave(draft);
        set_concept(draft, concept);
        draft->read = 0;
        draft->rule = -1;
        show(draft);
    }
}

static void take_new(RbPlaybookDraft *draft, RbConcept *concept)
{
    leave(draft);
    set_concept(draft, concept);
    rb_concept_free(concept);
    draft->is_dirty = true;
    draft->read = 0;
    draft->rule = -1;
    derive(draft);
    send_draft(draft);
    show(draft);
}

bool rb_playbook_draft_start(RbPlaybookDraft *draft, const char *name, GError **error)
{
    g_return_val_if_fail(RB_IS_PLAYBOOK_DRAFT(draft), false);
    g_return_val_if_fail(draft->names != NULL, false);
    RbConcept *concept = rb_concept_start(draft->names, name, error);
    if (concept != NULL) {
        take_new(draft, concept);
    }
    return concept != NULL;
}

void rb_playbook_draft_twin(RbPlaybookDraft *draft)
{
    g_return_if_fail(RB_IS_PLAYBOOK_DRAFT(draft));
    if (draft->concept != NULL) {
        take_new(draft, rb_concept_twin(draft->names, draft->concept));
    }
}

void rb_playbook_draft_discard(RbPlaybookDraft *draft)
{
    g_return_if_fail(RB_IS_PLAYBOOK_DRAFT(draft));
    if (draft->concept == NULL) {
        return;
    }
    g_clear_handle_id(&draft->save_id, g_source_remove);
    const RbConcept *have = rb_names_find_concept(draft->names, draft->concept->id);
    set_concept(draft, have != NULL ? have : first_shown(draft->names));
    show(draft);
}

RbNames *rb_playbook_draft_get_names(RbPlaybookDraft *draft)
{
    return draft->names;
}

const RbConcept *rb_playbook_draft_get_concept(RbPlaybookDraft *draft)
{
    return draft->concept;
}

const GPtrArray *rb_playbook_draft_get_findings(RbPlaybookDraft *draft)
{
    return draft->findings;
}

bool rb_playbook_draft_is_saved(RbPlaybookDraft *draft)
{
    return !has_errors(draft) || !draft->is_dirty;
}

RbRules rb_playbook_draft_get_rules(RbPlaybookDraft *draft)
{
    const RbGame *game =
        draft->names != NULL
            ? rb_names_find_game(draft->names, rb_session_get_game(draft->session))
            : NULL;
    return game != NULL ? game->rules : RB_RULES_HIGH_SCHOOL;
}

int rb_playbook_draft_get_read(RbPlaybookDraft *draft)
{
    return draft->read;
}

void rb_playbook_draft_set_read(RbPlaybookDraft *draft, int number)
{
    if (draft->read != number) {
        draft->read = number;
        emit(draft, CHOSEN);
    }
}

int rb_playbook_draft_get_rule(RbPlaybookDraft *draft)
{
    return draft->rule;
}

void rb_playbook_draft_set_rule(RbPlaybookDraft *draft, int index)
{
    if (draft->rule != index) {
        draft->rule = index;
        emit(draft, CHOSEN);
    }
}

const RbPictureTry *rb_playbook_draft_get_picture(RbPlaybookDraft *draft)
{
    return &draft->picture;
}

void rb_playbook_draft_set_picture(RbPlaybookDraft *draft, const RbPictureTry *picture)
{
    draft->picture = *picture;
    derive(draft);
    emit(draft, PICTURE);
}

const RbTryAnswer *rb_playbook_draft_get_answer(RbPlaybookDraft *draft)
{
    return draft->answer.lines != NULL ? &draft->answer : NULL;
}

RbPlaybookDraft *rb_playbook_draft_new(RbSession *session)
{
    RbPlaybookDraft *draft = g_object_new(RB_TYPE_PLAYBOOK_DRAFT, NULL);
    draft->session = g_object_ref(session);
    g_signal_connect_object(session, "names", G_CALLBACK(on_names), draft,
                            G_CONNECT_SWAPPED);
    on_names(draft);
    return draft;
}

static void rb_playbook_draft_dispose(GObject *object)
{
    RbPlaybookDraft *draft = RB_PLAYBOOK_DRAFT(object);
    if (draft->save_id != 0) {
        send_draft(draft);
    }
    g_clear_object(&draft->session);
    G_OBJECT_CLASS(rb_playbook_draft_parent_class)->dispose(object);
}

static void rb_playbook_draft_finalize(GObject *object)
{
    RbPlaybookDraft *draft = RB_PLAYBOOK_DRAFT(object);
    rb_try_answer_clear(&draft->answer);
    g_clear_pointer(&draft->findings, g_ptr_array_unref);
    rb_concept_free(draft->concept);
    rb_names_unref(draft->names);
    G_OBJECT_CLASS(rb_playbook_draft_parent_class)->finalize(object);
}

static void rb_playbook_draft_class_init(RbPlaybookDraftClass *klass)
{
    static const char *const names[] = { "list", "concept", "chosen", "picture" };
    G_OBJECT_CLASS(klass)->dispose = rb_playbook_draft_dispose;
    G_OBJECT_CLASS(klass)->finalize = rb_playbook_draft_finalize;
    for (int i = 0; i < N_SIGNALS; i++) {
        signals[i] = g_signal_new(names[i], RB_TYPE_PLAYBOOK_DRAFT, G_SIGNAL_RUN_LAST, 0,
                                  NULL, NULL, NULL, G_TYPE_NONE, 0);
    }
}

static void rb_playbook_draft_init(RbPlaybookDraft *draft)
{
    draft->picture = rb_picture_try();
    draft->rule = -1;
}
