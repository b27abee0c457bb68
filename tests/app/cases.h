/* SPDX-License-Identifier: GPL-3.0-or-later */
#pragma once

#include "suite.h"

TCase *rb_case_ahead(void);
TCase *rb_case_deck(void);
TCase *rb_case_help(void);
TCase *rb_case_keys(void);
TCase *rb_case_load(void);
TCase *rb_case_playbook(void);
TCase *rb_case_print(void);
TCase *rb_case_session(void);
TCase *rb_case_style(void);
TCase *rb_case_thumbs(void);
TCase *rb_case_transport(void);
TCase *rb_case_views(void);
TCase *rb_case_widgets(void);
