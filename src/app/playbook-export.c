/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "config.h"

#include "playbook-export.h"

#include <glib/gi18n.h>

typedef struct {
    RbPlaybookDraft *draft; /* owned */
    RbSession *session;     /* owned */
} Export;

static void export_free(gpointer data, GClosure *closure)
{
    (void)closure;
    Export *export = data;
    g_object_unref(export->draft);
    g_object_unref(export->session);
    g_free(export);
}

static void write_page(const Export *export, const char *path)
{
    const RbConcept *concept = rb_playbook_draft_get_concept(export->draft);
    if (concept == NULL) {
        return;
    }
    g_autoptr(GError) error = NULL;
    g_autofree char *done =
        g_strdup_printf(_("%s is written to %s."), concept->name, path);
    const bool ok =
        rb_concept_write_page(concept, rb_playbook_draft_get_names(export->draft),
                              rb_playbook_draft_get_rules(export->draft),
                              rb_playbook_draft_get_picture(export->draft), path, &error);
    g_signal_emit_by_name(export->session, "said", ok ? done : error->message);
}

static void on_answer(GtkFileChooser *chooser, int response, const Export *export)
{
    g_autoptr(GFile) file =
        response == GTK_RESPONSE_ACCEPT ? gtk_file_chooser_get_file(chooser) : NULL;
    g_autofree char *path = file != NULL ? g_file_get_path(file) : NULL;
    if (path != NULL) {
        write_page(export, path);
    }
}

GtkFileChooserNative *rb_playbook_export(GtkWidget *desk, RbPlaybookDraft *draft,
                                         RbSession *session)
{
    const RbConcept *concept = rb_playbook_draft_get_concept(draft);
    GtkRoot *root = gtk_widget_get_root(desk);
    GtkFileChooserNative *chooser = gtk_file_chooser_native_new(
        _("Save as a page: .pdf, .svg or .png"),
        GTK_IS_WINDOW(root) ? GTK_WINDOW(root) : NULL, GTK_FILE_CHOOSER_ACTION_SAVE,
        _("_Save"), _("_Cancel"));
    Export *export = g_new0(Export, 1);
    *export = (Export){ .draft = g_object_ref(draft), .session = g_object_ref(session) };
    g_autofree char *name = g_strconcat(concept->token, ".pdf", NULL);
    gtk_file_chooser_set_current_name(GTK_FILE_CHOOSER(chooser), name);
    g_signal_connect_data(chooser, "response", G_CALLBACK(on_answer), export, export_free,
                          0);
    gtk_native_dialog_show(GTK_NATIVE_DIALOG(chooser));
    return chooser;
}
