/* SPDX-License-Identifier: GPL-3.0-or-later */
#pragma once

#include "playbook-draft.h"

/* Asks where to, then writes the chosen concept, against the picture it is tried against, as a
 * page: .pdf, .svg or .png; the session says what came of it. Returns: (transfer full): the
 * question; when the last reference goes it is not asked any more. */
GtkFileChooserNative *rb_playbook_export(GtkWidget *desk, RbPlaybookDraft *draft,
                                         RbSession *session);
