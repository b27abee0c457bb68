/* SPDX-License-Identifier: GPL-3.0-or-later */
#pragma once

#include "playbook-draft.h"

/* The picture that the concept is tried against. */
#define RB_TYPE_PLAYBOOK_PICTURE (rb_playbook_picture_get_type())
G_DECLARE_FINAL_TYPE(RbPlaybookPicture, rb_playbook_picture, RB, PLAYBOOK_PICTURE,
                     GtkWidget)

void rb_playbook_picture_set_draft(RbPlaybookPicture *picture, RbPlaybookDraft *draft);
