/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "rb/model/chart.h"

RbChartId rb_chart_id(RbSnapId snap, RbPersonId author)
{
    return (RbChartId){ rb_id_from_pair("chart", snap.value, author.value) };
}

RbChart *rb_chart_new(RbSnapId snap, RbPersonId author)
{
    RbChart *chart = g_new0(RbChart, 1);
    chart->id = rb_chart_id(snap, author);
    chart->snap = snap;
    chart->author = author;
    chart->shown.left.cushion_tenths = -1;
    chart->shown.right.cushion_tenths = -1;
    chart->shown.left.split_tenths = -1;
    chart->shown.right.split_tenths = -1;
    chart->played.rushers = -1;
    chart->release_ms = -1;
    chart->pressure_ms = -1;
    return chart;
}

RbChart *rb_chart_copy(const RbChart *chart)
{
    RbChart *copy = g_memdup2(chart, sizeof *chart);
    copy->note = g_strdup(chart->note);
    return copy;
}

void rb_chart_free(RbChart *chart)
{
    if (chart == NULL) {
        return;
    }
    g_free(chart->note);
    g_free(chart);
}

RbConceptId rb_chart_concept(const RbChart *chart)
{
    const RbConceptId none = { 0 };
    switch (chart->call.kind) {
    case RB_CALL_UNKNOWN:
        return none;
    case RB_CALL_SINGLE:
    case RB_CALL_MIRRORED:
    case RB_CALL_ACROSS:
        return chart->call.first;
    case RB_CALL_SPLIT:
        break;
    }
    switch (chart->side_worked) {
    case RB_SIDE_LEFT:
        return chart->call.first;
    case RB_SIDE_RIGHT:
        return chart->call.second;
    case RB_SIDE_UNKNOWN:
        break;
    }
    return none;
}
