/* SPDX-License-Identifier: GPL-3.0-or-later */
#pragma once

#include <sqlite3.h>
#include <stddef.h>
#include <stdint.h>

#include "rb/stats/columns.h"

/* What the columns are measured against: the same figures by SQL, over a table with one row a
 * dropback and indexes that cover both queries. Ends the program when SQL fails. */

void plain_run(sqlite3 *db, const char *sql);
/* Makes the table. Insert with the statement, then commit, which makes the indexes. */
sqlite3_stmt *plain_begin(sqlite3 *db);
/* Figures of one row by the definitions and not by our code. */
void plain_insert(sqlite3_stmt *statement, const RbDropback *row, int64_t down);
void plain_commit(sqlite3 *db, sqlite3_stmt *statement);

/* Milliseconds of pairing table and ladder of one down (0: all). count: (out): dropbacks. */
double plain_time(sqlite3 *db, int down, int64_t *count);

double plain_now_ms(void);
double plain_median(double *times, int n); /* sorts them */
size_t plain_heap(void);                   /* bytes of heap in use, whatever took them */
