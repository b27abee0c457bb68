/* SPDX-License-Identifier: GPL-3.0-or-later */
#pragma once

#include "rb/store/store.h"

/* What stands for a name that was forgotten. */
#define RB_FORGOTTEN "(name removed)"

/* Removes again every name that an action of the history forgot: it may have come back with
 * the work of a laptop that did not know. Inside a transaction. */
bool rb_forget_again(RbStore *store, GError **error);

/* The same in the backups, each by itself. Outside any transaction. */
bool rb_forget_in_backups(RbStore *store, GError **error);
