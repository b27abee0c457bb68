/* SPDX-License-Identifier: GPL-3.0-or-later */
#pragma once

/* Fisher's exact test of a table of two by two, for numbers too small for anything else: did
 * the adjustment change the rate, or is it chance? R. A. Fisher, "The Design of Experiments",
 * 1935. */
typedef struct {
    int a, b; /* first group: yes, no */
    int c, d; /* second group */
} RbFourfold;

typedef struct {
    double greater;   /* one-sided: the first group's odds are greater */
    double less;      /* one-sided: they are less */
    double two_sided; /* all tables at most as likely as this one */
    double odds;      /* ratio, conditional maximum likelihood; may be 0 or INFINITY */
    double low;       /* 95 % interval of it; may be 0 */
    double high;      /* may be INFINITY */
} RbExact;

/* Counts of 0 and up. An empty table: every probability 1, odds 1 between 0 and INFINITY. */
void rb_exact_test(RbFourfold table, RbExact *exact);
