/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "config.h"

#include "keys.h"

#include <glib/gi18n.h>
#include <string.h>

#define SECTION "keys"

struct _RbKeys {
    GObject parent_instance;
    char **own;   /* owned, by row: the user's; NULL: as delivered */
    GFile *file;  /* owned */
    bool touched; /* by the user, before what was kept could be read */
};

G_DEFINE_FINAL_TYPE(RbKeys, rb_keys, G_TYPE_OBJECT)

enum { CHANGING, CHANGED, N_SIGNALS };
static guint signals[N_SIGNALS];

/* Where a key means something, as bits. */
enum {
    CHART = 1 << 0,
    PLAYBOOK = 1 << 1,
    PAIRINGS = 1 << 2,
    QUARTERBACK = 1 << 3,
    CUTUPS = 1 << 4,
    ASKED =
        1
        << 5, /* a question, a pencil or the table takes what it needs first: no conflict */
    EVERYWHERE = CHART | PLAYBOOK | PAIRINGS | QUARTERBACK | CUTUPS,
};

static unsigned places_of(RbKeyGroup group)
{
    switch (group) {
    case RB_KEYS_FILM:
        return CHART | CUTUPS;
    case RB_KEYS_MARKS:
        return CHART;
    case RB_KEYS_SNAP:
        return CHART | CUTUPS; /* on to the next clip there */
    case RB_KEYS_QUESTION:
    case RB_KEYS_DRAWING:
    case RB_KEYS_MEASURING:
    case RB_KEYS_TABLE:
        return ASKED;
    case RB_KEYS_PLAYBOOK:
        return PLAYBOOK;
    case RB_KEYS_PAIRINGS:
        return PAIRINGS;
    case RB_KEYS_QUARTERBACK:
        return QUARTERBACK;
    case RB_KEYS_CUTUPS:
        return CUTUPS;
    case RB_KEYS_EVERYWHERE:
        return EVERYWHERE;
    case RB_KEY_GROUPS:
        break;
    }
    return 0;
}

const char *rb_keys_of(RbKeys *keys, int row)
{
    if (keys->own[row] != NULL) {
        return keys->own[row];
    }
    /* Letters that a label underlines are others in another language. */
    return rb_key_table[row].action == NULL ? _(rb_key_table[row].keys)
                                            : rb_key_table[row].keys;
}

bool rb_keys_is_changed(RbKeys *keys, int row)
{
    return keys->own[row] != NULL;
}

static bool parse(const char *accelerator, guint *keyval, GdkModifierType *state)
{
    return gtk_accelerator_parse(accelerator, keyval, state) && *keyval != 0;
}

char *rb_keys_text(RbKeys *keys, int row)
{
    g_auto(GStrv) list = g_strsplit(rb_keys_of(keys, row), " ", -1);
    g_autoptr(GString) text = g_string_new(NULL);
    for (char **accelerator = list; *accelerator != NULL; accelerator++) {
        guint keyval = 0;
        GdkModifierType state = 0;
        if (strstr(*accelerator, "<Shift>plus") != NULL ||
            g_str_has_prefix(*accelerator, "KP_")) {
            continue; /* the same key elsewhere on the keyboard */
        }
        g_autofree char *label = parse(*accelerator, &keyval, &state)
                                     ? gtk_accelerator_get_label(keyval, state)
                                     : g_strdup(*accelerator);
        g_string_append_printf(text, "%s%s", text->len > 0 ? _(" or ") : "", label);
    }
    return g_string_free(g_steal_pointer(&text), FALSE);
}

char *rb_keys_text_of(RbKeys *keys, const char *action)
{
    for (int row = 0; row < rb_n_keys; row++) {
        if (g_strcmp0(rb_key_table[row].action, action) == 0) {
            return rb_keys_text(keys, row);
        }
    }
    return g_strdup("");
}

static bool has_key(RbKeys *keys, int row, guint keyval, GdkModifierType state)
{
    g_auto(GStrv) list = g_strsplit(rb_keys_of(keys, row), " ", -1);
    for (char **accelerator = list; *accelerator != NULL; accelerator++) {
        guint its_keyval = 0;
        GdkModifierType its_state = 0;
        if (parse(*accelerator, &its_keyval, &its_state) && its_keyval == keyval &&
            its_state == state) {
            return true;
        }
    }
    return false;
}

static bool refuse(GError **error, char *sentence)
{
    g_set_error_literal(error, G_OPTION_ERROR, G_OPTION_ERROR_BAD_VALUE, sentence);
    g_free(sentence);
    return false;
}

/* Nothing else may have the key where the row has a meaning. */
static bool check_free(RbKeys *keys, int row, guint keyval, GdkModifierType state,
                       GError **error)
{
    const unsigned places = places_of(rb_key_table[row].group);
    for (int other = 0; other < rb_n_keys; other++) {
        if (other == row || (places_of(rb_key_table[other].group) & places) == 0 ||
            !has_key(keys, other, keyval, state)) {
            continue;
        }
        g_autofree char *label = gtk_accelerator_get_label(keyval, state);
        return refuse(error,
                      g_strdup_printf(_("%s already means “%s”: choose another key, or "
                                        "give that one another first."),
                                      label, _(rb_key_table[other].title)));
    }
    return true;
}

static bool is_usable(guint keyval, GdkModifierType state)
{
    switch (keyval) {
    case GDK_KEY_Return:
    case GDK_KEY_KP_Enter:
    case GDK_KEY_Tab:
    case GDK_KEY_ISO_Left_Tab:
    case GDK_KEY_BackSpace:
    case GDK_KEY_Escape:
    case GDK_KEY_Up:
    case GDK_KEY_Down:
        return (state & (GDK_CONTROL_MASK | GDK_SHIFT_MASK)) != 0; /* the widgets' own */
    default:
        return gtk_accelerator_valid(keyval, state) ||
               (keyval == GDK_KEY_Left || keyval == GDK_KEY_Right);
    }
}

static void tell(RbKeys *keys)
{
    g_signal_emit(keys, signals[CHANGING], 0);
    g_signal_emit(keys, signals[CHANGED], 0);
}

static void on_kept(GObject *file, GAsyncResult *result, gpointer data)
{
    (void)data;
    g_autoptr(GError) error = NULL;
    if (!g_file_replace_contents_finish(G_FILE(file), result, NULL, &error)) {
        g_message("The keys could not be kept: %s", error->message);
    }
}

static void keep(RbKeys *keys)
{
    g_autofree char *folder = g_path_get_dirname(g_file_peek_path(keys->file));
    g_mkdir_with_parents(folder, 0700); /* a new account may have none */
    g_autoptr(GKeyFile) file = g_key_file_new();
    for (int row = 0; row < rb_n_keys; row++) {
        if (keys->own[row] != NULL) {
            g_key_file_set_string(file, SECTION, rb_key_table[row].action,
                                  keys->own[row]);
        }
    }
    gsize n = 0;
    g_autofree char *text = g_key_file_to_data(file, &n, NULL);
    g_autoptr(GBytes) bytes = g_bytes_new_take(g_steal_pointer(&text), n);
    g_file_replace_contents_bytes_async(keys->file, bytes, NULL, FALSE, 0, NULL, on_kept,
                                        NULL);
    keys->touched = true;
    tell(keys);
}

bool rb_keys_change(RbKeys *keys, int row, guint keyval, GdkModifierType state,
                    GError **error)
{
    g_return_val_if_fail(row >= 0 && row < rb_n_keys, false);
    state &= gtk_accelerator_get_default_mod_mask();
    /* A sign that Shift makes is its own key; a letter is told from its capital by Shift. */
    if (g_unichar_isupper(gdk_keyval_to_unicode(keyval))) {
        keyval = gdk_keyval_to_lower(keyval);
    } else if (g_unichar_ispunct(gdk_keyval_to_unicode(keyval))) {
        state &= ~(GdkModifierType)GDK_SHIFT_MASK;
    }
    if (rb_key_table[row].action == NULL) {
        return refuse(error, g_strdup_printf(_("The key of “%s” stays as it is."),
                                             _(rb_key_table[row].title)));
    }
    if (!is_usable(keyval, state)) {
        return refuse(error, g_strdup(_("That key is used by lists and questions "
                                        "everywhere: choose another one.")));
    }
    if (!check_free(keys, row, keyval, state, error)) {
        return false;
    }
    g_free(keys->own[row]);
    keys->own[row] = gtk_accelerator_name(keyval, state);
    keep(keys);
    return true;
}

bool rb_keys_reset(RbKeys *keys, int row, GError **error)
{
    g_auto(GStrv) list = g_strsplit(rb_key_table[row].keys, " ", -1);
    for (char **accelerator = list; *accelerator != NULL; accelerator++) {
        guint keyval = 0;
        GdkModifierType state = 0;
        if (parse(*accelerator, &keyval, &state) &&
            !check_free(keys, row, keyval, state, error)) {
            return false;
        }
    }
    g_clear_pointer(&keys->own[row], g_free);
    keep(keys);
    return true;
}

static void forget_all(RbKeys *keys)
{
    for (int row = 0; row < rb_n_keys; row++) {
        g_clear_pointer(&keys->own[row], g_free);
    }
}

void rb_keys_reset_all(RbKeys *keys)
{
    forget_all(keys);
    keep(keys);
}

static int find_row(const char *action)
{
    for (int row = 0; row < rb_n_keys; row++) {
        if (g_strcmp0(rb_key_table[row].action, action) == 0) {
            return row;
        }
    }
    return -1;
}

/* A missing or damaged file leaves what is, and so does a key in it that would conflict. */
static void use_kept(RbKeys *keys, const char *text, gsize n)
{
    g_autoptr(GKeyFile) file = g_key_file_new();
    if (keys->touched || !g_key_file_load_from_data(file, text, n, 0, NULL)) {
        return;
    }
    g_auto(GStrv) names = g_key_file_get_keys(file, SECTION, NULL, NULL);
    for (char **name = names; name != NULL && *name != NULL; name++) {
        const int row = find_row(*name);
        g_autofree char *value = g_key_file_get_string(file, SECTION, *name, NULL);
        guint keyval = 0;
        GdkModifierType state = 0;
        if (row >= 0 && value != NULL && parse(value, &keyval, &state) &&
            is_usable(keyval, state)) {
            g_free(keys->own[row]);
            keys->own[row] = g_steal_pointer(&value);
        }
    }
    for (int row = 0; row < rb_n_keys; row++) {
        guint keyval = 0;
        GdkModifierType state = 0;
        if (keys->own[row] != NULL && parse(keys->own[row], &keyval, &state) &&
            !check_free(keys, row, keyval, state, NULL)) {
            g_clear_pointer(&keys->own[row], g_free);
        }
    }
    tell(keys);
}

static void on_loaded(GObject *file, GAsyncResult *result, gpointer data)
{
    g_autoptr(RbKeys) keys = data;
    g_autofree char *text = NULL;
    gsize n = 0;
    if (g_file_load_contents_finish(G_FILE(file), result, &text, &n, NULL, NULL)) {
        use_kept(keys, text, n);
    }
}

RbKeys *rb_keys_get(void)
{
    static RbKeys *keys;
    if (keys == NULL) {
        g_autofree char *path =
            g_build_filename(g_get_user_config_dir(), "readbreak-keys.conf", NULL);
        keys = g_object_new(RB_TYPE_KEYS, NULL);
        keys->file = g_file_new_for_path(path);
        g_file_load_contents_async(keys->file, NULL, on_loaded, g_object_ref(keys));
    }
    return keys;
}

RbKeys *rb_keys_new_for(const char *path)
{
    RbKeys *keys = g_object_new(RB_TYPE_KEYS, NULL);
    g_autofree char *text = NULL;
    gsize n = 0;
    keys->file = g_file_new_for_path(path);
    if (g_file_get_contents(path, &text, &n, NULL)) {
        use_kept(keys, text, n);
    }
    return keys;
}

static void rb_keys_finalize(GObject *object)
{
    RbKeys *keys = RB_KEYS(object);
    forget_all(keys);
    g_free(keys->own);
    g_clear_object(&keys->file);
    G_OBJECT_CLASS(rb_keys_parent_class)->finalize(object);
}

static void rb_keys_class_init(RbKeysClass *klass)
{
    G_OBJECT_CLASS(klass)->finalize = rb_keys_finalize;
    signals[CHANGING] = g_signal_new("changing", RB_TYPE_KEYS, G_SIGNAL_RUN_LAST, 0, NULL,
                                     NULL, NULL, G_TYPE_NONE, 0);
    signals[CHANGED] = g_signal_new("changed", RB_TYPE_KEYS, G_SIGNAL_RUN_LAST, 0, NULL,
                                    NULL, NULL, G_TYPE_NONE, 0);
}

static void rb_keys_init(RbKeys *keys)
{
    keys->own = g_new0(char *, rb_n_keys);
}
