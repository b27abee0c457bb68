/* SPDX-License-Identifier: GPL-3.0-or-later */
#pragma once

#include <gtk/gtk.h>
#include <stdbool.h>

/* Every key of the program in one table (key-table.c), what the user made of it, and what is bound
 * from it. Changed keys are the user's, kept in their own settings and in no library. Signal
 * "changing", then "changed": keys are others now, and what is bound is made anew. Main thread. */

typedef enum {
    RB_KEYS_FILM,
    RB_KEYS_MARKS,
    RB_KEYS_SNAP,
    RB_KEYS_QUESTION,
    RB_KEYS_DRAWING,
    RB_KEYS_MEASURING,
    RB_KEYS_PLAYBOOK,
    RB_KEYS_PAIRINGS,
    RB_KEYS_QUARTERBACK,
    RB_KEYS_CUTUPS,
    RB_KEYS_TABLE,
    RB_KEYS_EVERYWHERE,
    RB_KEY_GROUPS,
} RbKeyGroup;

typedef struct {
    const char *action; /* detailed action name; NULL: a widget's own key, which stays */
    const char *keys;   /* accelerators as delivered, a space between */
    const char *title;  /* not translated yet */
    RbKeyGroup group;
} RbKey;

extern const RbKey rb_key_table[];
extern const int rb_n_keys;

#define RB_TYPE_KEYS (rb_keys_get_type())
G_DECLARE_FINAL_TYPE(RbKeys, rb_keys, RB, KEYS, GObject)

/* The one of the program; the user's settings are read in the background. */
RbKeys *rb_keys_get(void);
/* One that keeps its changes in `file`, and has read it: for tests. */
RbKeys *rb_keys_new_for(const char *file);

const char *rb_key_group_title(RbKeyGroup group);
/* The accelerators of a row now, a space between. */
const char *rb_keys_of(RbKeys *keys, int row);
bool rb_keys_is_changed(RbKeys *keys, int row);
/* For people: "F6", "Shift+F2 or G". Returns: (transfer full). */
char *rb_keys_text(RbKeys *keys, int row);
/* The first key of an action as people say it; "" when there is none. Returns: (transfer full). */
char *rb_keys_text_of(RbKeys *keys, const char *action);

/* Gives the row this one key. Refused with a sentence: the key does something else at the same
 * place, the row stays as it is, or no such key can be used. */
bool rb_keys_change(RbKeys *keys, int row, guint keyval, GdkModifierType state,
                    GError **error);
/* Back to the key as delivered; refused like a change where another row has it by now. */
bool rb_keys_reset(RbKeys *keys, int row, GError **error);
void rb_keys_reset_all(RbKeys *keys);

/* Binds what needs no Ctrl or Alt to a window's controller, and the rest to the application; both
 * follow later changes. */
void rb_keys_bind(RbKeys *keys, GtkShortcutController *controller);
void rb_keys_bind_application(RbKeys *keys, GtkApplication *application);
