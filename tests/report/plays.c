/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "plays.h"

RbDiagramField rb_example_field(void)
{
    return (RbDiagramField){ .width_yd = 160.0 / 3.0,
                             .hash_yd = 20.0,
                             .number_bottom_yd = 7.0,
                             .number_top_yd = 9.0 };
}

static void add_read(RbConcept *concept, RbRoute route, RbRunner runner, int depth_yd)
{
    RbRead *read = rb_read_new((int)concept->reads->len + 1, route);
    read->runner = runner;
    read->depth_yd = depth_yd;
    read->outlet = runner == RB_RUNNER_BACK;
    g_ptr_array_add(concept->reads, read);
}

RbConcept *rb_example_concept(void)
{
    RbConcept *concept = rb_concept_new("out-pivot", "Out and pivot");
    add_read(concept, RB_ROUTE_OUT, RB_RUNNER_1, 12);
    add_read(concept, RB_ROUTE_PIVOT, RB_RUNNER_2, 5);
    add_read(concept, RB_ROUTE_CHECK_DOWN, RB_RUNNER_BACK, 0);
    return concept;
}

RbPictureShown rb_example_shown(void)
{
    return (RbPictureShown){ .shell = RB_SHELL_TWO_HIGH,
                             .rotation = RB_ROTATION_LEFT,
                             .left = { RB_TECHNIQUE_SQUAT, 65, RB_LEVERAGE_OUTSIDE },
                             .right = { RB_TECHNIQUE_OFF, 80, RB_LEVERAGE_INSIDE } };
}

RbOrder rb_example_order(const RbConcept *concept, RbSide side)
{
    static const int places[] = { 1, 2, 0 };
    RbOrder order = { .n = 3, .live = 2 };
    for (int i = 0; i < 3; i++) {
        const RbRead *read = concept->reads->pdata[places[i]];
        order.rungs[i] = (RbRung){ .slot = read->number,
                                   .read = read,
                                   .route = read->route,
                                   .runner = read->runner,
                                   .side = side,
                                   .outlet = read->outlet };
    }
    order.rungs[2].route = RB_ROUTE_GO;
    order.rungs[2].dead = true;
    return order;
}
