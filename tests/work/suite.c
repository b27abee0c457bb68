/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "suite.h"

TCase *rb_case_clip_match(void);
TCase *rb_case_intake(void);
TCase *rb_case_intake_keep(void);
TCase *rb_case_names(void);
TCase *rb_case_filter_text(void);
TCase *rb_case_own_tags(void);
TCase *rb_case_taggable(void);
TCase *rb_case_snapshot(void);
TCase *rb_case_json(void);
TCase *rb_case_library(void);
TCase *rb_case_logging(void);
TCase *rb_case_tagging(void);
TCase *rb_case_checks(void);
TCase *rb_case_cutup_export(void);
TCase *rb_case_cutups(void);
TCase *rb_case_playbook_edit(void);
TCase *rb_case_playbooks(void);
TCase *rb_case_quarterback(void);
TCase *rb_case_rail(void);
TCase *rb_case_rail_cost(void);
TCase *rb_case_required(void);
TCase *rb_case_quiz(void);
TCase *rb_case_fieldwork(void);
TCase *rb_case_judging(void);
TCase *rb_case_measuring(void);
TCase *rb_case_quiz_run(void);
TCase *rb_case_reports(void);
TCase *rb_case_compare(void);
TCase *rb_case_worklist(void);
TCase *rb_case_season(void);
TCase *rb_case_demo(void);
TCase *rb_case_bookmark(void);
TCase *rb_case_two_charts(void);
TCase *rb_case_explain(void);
TCase *rb_case_findings(void);
TCase *rb_case_footwork(void);
TCase *rb_case_games(void);
TCase *rb_case_snap_marks(void);
TCase *rb_case_snap_rows(void);
TCase *rb_case_log(void);
TCase *rb_case_many_charts(void);
TCase *rb_case_log_import(void);
TCase *rb_case_saved_filters(void);
TCase *rb_case_snapshot_after(void);
TCase *rb_case_snapshot_kept(void);
TCase *rb_case_open_data(void);
TCase *rb_case_exchange(void);

int main(void)
{
    static const RbCaseMaker makers[] = {
        rb_case_cutups,        rb_case_names,         rb_case_filter_text,
        rb_case_taggable,      rb_case_snapshot,      rb_case_json,
        rb_case_library,       rb_case_tagging,       rb_case_checks,
        rb_case_playbooks,     rb_case_reports,       rb_case_season,
        rb_case_playbook_edit, rb_case_demo,          rb_case_quarterback,
        rb_case_rail,          rb_case_two_charts,    rb_case_bookmark,
        rb_case_explain,       rb_case_quiz,          rb_case_quiz_run,
        rb_case_compare,       rb_case_worklist,      rb_case_findings,
        rb_case_footwork,      rb_case_games,         rb_case_snap_rows,
        rb_case_log,           rb_case_log_import,    rb_case_logging,
        rb_case_many_charts,   rb_case_clip_match,    rb_case_intake,
        rb_case_intake_keep,   rb_case_saved_filters, rb_case_snapshot_after,
        rb_case_required,      rb_case_rail_cost,     rb_case_own_tags,
        rb_case_cutup_export,  rb_case_snapshot_kept, rb_case_measuring,
        rb_case_fieldwork,     rb_case_snap_marks,    rb_case_judging,
        rb_case_open_data,     rb_case_exchange,
    };
    return rb_suite_main("work", makers, sizeof makers / sizeof makers[0]);
}
