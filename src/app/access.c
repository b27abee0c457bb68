/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "config.h"

#include "access.h"

void rb_access_set_no_value(GtkWidget *widget, const char *text)
{
    gtk_accessible_update_property(GTK_ACCESSIBLE(widget),
                                   GTK_ACCESSIBLE_PROPERTY_VALUE_TEXT, text,
                                   GTK_ACCESSIBLE_PROPERTY_DESCRIPTION, text, -1);
}

void rb_access_set_value(GtkWidget *widget, double least, double most, double now,
                         const char *text)
{
    gtk_accessible_update_property(GTK_ACCESSIBLE(widget),
                                   GTK_ACCESSIBLE_PROPERTY_VALUE_MIN, least,
                                   GTK_ACCESSIBLE_PROPERTY_VALUE_MAX, most,
                                   GTK_ACCESSIBLE_PROPERTY_VALUE_NOW, now, -1);
    rb_access_set_no_value(widget, text);
}

void rb_access_announce(GtkLabel *status, const char *words)
{
    gtk_label_set_text(status, words);
#if GTK_CHECK_VERSION(4, 14, 0)
    gtk_accessible_announce(GTK_ACCESSIBLE(status), words,
                            GTK_ACCESSIBLE_ANNOUNCEMENT_PRIORITY_MEDIUM);
#endif
}
