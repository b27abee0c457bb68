/* SPDX-License-Identifier: GPL-3.0-or-later */
#pragma once

#include <stdbool.h>

/* Helpers that are forked with all of their libraries loaded: starting one takes a tenth of the
 * time. The same code runs under the same filter, in a process of its own. Not under
 * ThreadSanitizer, which knows no threads after a fork. */
void forked_helper_use(bool on);
