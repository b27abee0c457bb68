/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "config.h"

#include "cutup-pick.h"

#include <glib/gi18n.h>

#include "rb/base/ids.h"

#include "errands-cutups.h"
#include "form.h"

enum { LETTERS_MAX = 120, LIST_HEIGHT = 160 };

struct _RbCutupPick {
    GtkPopover parent_instance;
    GtkLabel *question; /* children, as the next ones */
    GtkEditable *name;
    GtkLabel *fault;
    GtkWidget *others; /* what is shown when there is one to add to */
    GtkListBox *list;
    GArray *snaps;        /* owned, nullable */
    GArray *cutups;       /* owned: RbCutupId of the rows */
    GtkWidget *came_from; /* weak, nullable: what gets the keyboard back */
    RbSession *session;   /* owned, nullable */
};

G_DEFINE_FINAL_TYPE(RbCutupPick, rb_cutup_pick, GTK_TYPE_POPOVER)

RbCutupPick *rb_cutup_pick_new(void)
{
    return g_object_new(RB_TYPE_CUTUP_PICK, NULL);
}

static void add_row(RbCutupPick *pick, const RbCutup *cutup)
{
    GtkWidget *label = gtk_label_new(cutup->name);
    gtk_label_set_xalign(GTK_LABEL(label), 0);
    gtk_label_set_ellipsize(GTK_LABEL(label), PANGO_ELLIPSIZE_END);
    gtk_list_box_append(pick->list, label);
    g_autofree char *spoken = g_strdup_printf(_("Add to %s"), cutup->name);
    gtk_accessible_update_property(GTK_ACCESSIBLE(gtk_widget_get_parent(label)),
                                   GTK_ACCESSIBLE_PROPERTY_LABEL, spoken, -1);
    g_array_append_val(pick->cutups, cutup->id);
}

/* Those whose snaps are chosen by hand. A list that is there already stays as it is, so that the
 * keyboard stays where it is. */
static void show_cutups(RbCutupPick *pick)
{
    const RbCutupsAnswer *answer = rb_session_get_cutups(pick->session);
    if (answer == NULL || pick->snaps == NULL) {
        return;
    }
    g_autoptr(GPtrArray) fixed = g_ptr_array_new();
    bool same = true;
    for (guint i = 0; i < answer->cutups->len; i++) {
        const RbCutup *cutup = answer->cutups->pdata[i];
        if (cutup->kind == RB_CUTUP_FIXED) {
            same = same && fixed->len < pick->cutups->len &&
                   g_array_index(pick->cutups, RbCutupId, fixed->len).value ==
                       cutup->id.value;
            g_ptr_array_add(fixed, answer->cutups->pdata[i]);
        }
    }
    if (same && fixed->len == pick->cutups->len) {
        return;
    }
    GtkListBoxRow *row = NULL;
    while ((row = gtk_list_box_get_row_at_index(pick->list, 0)) != NULL) {
        gtk_list_box_remove(pick->list, GTK_WIDGET(row));
    }
    g_array_set_size(pick->cutups, 0);
    for (guint i = 0; i < fixed->len; i++) {
        add_row(pick, fixed->pdata[i]);
    }
    gtk_widget_set_visible(pick->others, fixed->len > 0);
}

void rb_cutup_pick_set_session(RbCutupPick *pick, RbSession *session)
{
    g_return_if_fail(RB_IS_CUTUP_PICK(pick));
    g_return_if_fail(pick->session == NULL);
    pick->session = g_object_ref(session);
    g_signal_connect_object(session, "cutups", G_CALLBACK(show_cutups), pick,
                            G_CONNECT_SWAPPED);
}

void rb_cutup_pick_open(RbCutupPick *pick, GArray *snaps, const char *name)
{
    g_return_if_fail(RB_IS_CUTUP_PICK(pick));
    g_clear_pointer(&pick->snaps, g_array_unref);
    pick->snaps = snaps;
    g_autofree char *question = g_strdup_printf(
        g_dngettext(NULL, "A cut-up of %u snap", "A cut-up of %u snaps", snaps->len),
        snaps->len);
    gtk_label_set_text(pick->question, question);
    gtk_editable_set_text(pick->name, name);
    gtk_widget_set_visible(GTK_WIDGET(pick->fault), FALSE);
    show_cutups(pick);
    rb_session_want_cutups(pick->session); /* there may be others by now */
    GtkRoot *root = gtk_widget_get_root(GTK_WIDGET(pick));
    g_set_weak_pointer(&pick->came_from, root != NULL ? gtk_root_get_focus(root) : NULL);
    gtk_popover_popup(GTK_POPOVER(pick));
    gtk_widget_grab_focus(GTK_WIDGET(pick->name));
    gtk_editable_select_region(pick->name, 0, -1);
}

static void on_closed(RbCutupPick *pick)
{
    if (pick->came_from != NULL && gtk_widget_get_mapped(pick->came_from)) {
        gtk_widget_grab_focus(pick->came_from);
    }
    g_clear_weak_pointer(&pick->came_from);
}

/* ask: (transfer full). */
static void finish(RbCutupPick *pick, RbCutupAsk *ask)
{
    ask->snaps = g_steal_pointer(&pick->snaps);
    rb_session_make_cutup(pick->session, ask);
    gtk_popover_popdown(GTK_POPOVER(pick));
}

static void on_name(RbCutupPick *pick)
{
    g_autofree char *name = g_strstrip(g_strdup(gtk_editable_get_text(pick->name)));
    if (pick->snaps == NULL) {
        return;
    }
    if (name[0] == '\0') {
        gtk_widget_set_visible(GTK_WIDGET(pick->fault), TRUE);
        return;
    }
    RbCutupAsk *ask = rb_cutup_ask_new(RB_CUTUP_ASK_MAKE, (RbCutupId){ rb_id_random() });
    ask->name = g_steal_pointer(&name);
    finish(pick, ask);
}

static void on_row(RbCutupPick *pick, GtkListBoxRow *row)
{
    const guint at = (guint)gtk_list_box_row_get_index(row);
    if (pick->snaps != NULL && at < pick->cutups->len) {
        finish(pick, rb_cutup_ask_new(RB_CUTUP_ASK_ADD,
                                      g_array_index(pick->cutups, RbCutupId, at)));
    }
}

static void rb_cutup_pick_finalize(GObject *object)
{
    RbCutupPick *pick = RB_CUTUP_PICK(object);
    g_clear_pointer(&pick->snaps, g_array_unref);
    g_array_unref(pick->cutups);
    g_clear_weak_pointer(&pick->came_from);
    g_clear_object(&pick->session);
    G_OBJECT_CLASS(rb_cutup_pick_parent_class)->finalize(object);
}

static void rb_cutup_pick_class_init(RbCutupPickClass *klass)
{
    G_OBJECT_CLASS(klass)->finalize = rb_cutup_pick_finalize;
}

static GtkLabel *label_new(const char *words, const char *style)
{
    GtkWidget *label = gtk_label_new(words);
    gtk_label_set_xalign(GTK_LABEL(label), 0);
    gtk_widget_add_css_class(label, style);
    return GTK_LABEL(label);
}

static GtkWidget *others_new(RbCutupPick *pick)
{
    GtkWidget *box = gtk_box_new(GTK_ORIENTATION_VERTICAL, 4);
    GtkWidget *list = gtk_list_box_new();
    GtkWidget *scrolled = gtk_scrolled_window_new();
    pick->list = GTK_LIST_BOX(list);
    gtk_list_box_set_selection_mode(pick->list, GTK_SELECTION_NONE);
    gtk_accessible_update_property(GTK_ACCESSIBLE(list), GTK_ACCESSIBLE_PROPERTY_LABEL,
                                   _("Cut-ups to add to"), -1);
    g_signal_connect_swapped(list, "row-activated", G_CALLBACK(on_row), pick);
    g_object_set(scrolled, "hscrollbar-policy", GTK_POLICY_NEVER,
                 "propagate-natural-height", TRUE, "max-content-height", LIST_HEIGHT,
                 "child", list, NULL);
    gtk_box_append(GTK_BOX(box),
                   GTK_WIDGET(label_new(_("or behind the clips of"), "small")));
    gtk_box_append(GTK_BOX(box), scrolled);
    gtk_widget_set_visible(box, FALSE);
    return box;
}

static void rb_cutup_pick_init(RbCutupPick *pick)
{
    GtkWidget *box = gtk_box_new(GTK_ORIENTATION_VERTICAL, 6);
    pick->cutups = g_array_new(FALSE, FALSE, sizeof(RbCutupId));
    pick->question = label_new(NULL, "section");
    GtkWidget *name = gtk_entry_new();
    pick->name = GTK_EDITABLE(name);
    gtk_editable_set_width_chars(pick->name, 24);
    gtk_entry_set_max_length(GTK_ENTRY(name), LETTERS_MAX);
    gtk_accessible_update_property(GTK_ACCESSIBLE(name), GTK_ACCESSIBLE_PROPERTY_LABEL,
                                   _("Name of a new cut-up"), -1);
    g_signal_connect_swapped(name, "activate", G_CALLBACK(on_name), pick);
    pick->fault =
        label_new(_("A cut-up needs a name: type one, then press Enter."), "fault");
    pick->others = others_new(pick);
    GtkWidget *const parts[] = { GTK_WIDGET(pick->question), name,
                                 GTK_WIDGET(pick->fault), pick->others };
    for (size_t i = 0; i < G_N_ELEMENTS(parts); i++) {
        gtk_box_append(GTK_BOX(box), parts[i]);
    }
    gtk_popover_set_child(GTK_POPOVER(pick), box);
    g_signal_connect(pick, "closed", G_CALLBACK(on_closed), NULL);
}
