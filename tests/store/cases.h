/* SPDX-License-Identifier: GPL-3.0-or-later */
#pragma once

#include "suite.h"

TCase *rb_case_backup(void);
TCase *rb_case_conflicts(void);
TCase *rb_case_crash(void);
TCase *rb_case_cutups(void);
TCase *rb_case_exchange(void);
TCase *rb_case_forget(void);
TCase *rb_case_history(void);
TCase *rb_case_measures(void);
TCase *rb_case_open(void);
TCase *rb_case_repositories(void);
TCase *rb_case_schema(void);
TCase *rb_case_search(void);
TCase *rb_case_statement(void);
TCase *rb_case_columns(void);
TCase *rb_case_judged(void);
TCase *rb_case_touched(void);
