/* SPDX-License-Identifier: GPL-3.0-or-later */
#pragma once

#include "keys.h"

/* Buttons tell the key of their action: "%s" in the tooltip or label of a button in `root` is
 * replaced by it, and again whenever keys are changed. With no key left, the brackets go too. */
void rb_key_tips_follow(GtkWidget *root, RbKeys *keys);

/* words with "%s" replaced by the key of that action. Returns: (transfer full). */
char *rb_key_tip_text(RbKeys *keys, const char *words, const char *action);
