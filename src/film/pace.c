/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "pace.h"

#include <glib.h>

static int64_t length_of(const RbPaceClock *clock, int64_t frame)
{
    const int64_t length =
        clock->end_us(clock->data, frame) - clock->start_us(clock->data, frame);
    return MAX(length, 0);
}

RbPaceFrame rb_pace_begin(const RbPace *pace, const RbPaceClock *clock, int64_t frame)
{
    frame = CLAMP(frame, pace->first, pace->last);
    /* Backward a frame appears at its end and stays until its start. */
    const int64_t at = pace->eighths > 0 ? clock->start_us(clock->data, frame)
                                         : clock->end_us(clock->data, frame);
    return (RbPaceFrame){ frame, at };
}

static bool step(const RbPace *pace, const RbPaceClock *clock, RbPaceFrame *frame)
{
    const bool forward = pace->eighths > 0;
    const bool at_end =
        forward ? frame->frame >= pace->last : frame->frame <= pace->first;
    if (at_end && !pace->loop) {
        return false;
    }
    const int64_t length = length_of(clock, frame->frame);
    frame->at_us += forward ? length : -length;
    if (at_end) {
        frame->frame = forward ? pace->first : pace->last;
    } else {
        frame->frame += forward ? 1 : -1;
    }
    return true;
}

bool rb_pace_next(const RbPace *pace, const RbPaceClock *clock, RbPaceFrame *frame)
{
    RbPaceFrame next = *frame;
    const int64_t speed = ABS(pace->eighths);
    /* The number of frames bounds the search in a film whose frames have no length. */
    for (int64_t left = pace->last - pace->first + 1; left > 0; left--) {
        if (!step(pace, clock, &next)) {
            /* The last frame of the span is always shown. */
            const bool moved = next.frame != frame->frame;
            *frame = next;
            return moved;
        }
        if (ABS(next.at_us - frame->at_us) * RB_PACE_NORMAL / speed >= RB_PACE_SHOW_US) {
            break;
        }
    }
    *frame = next;
    return true;
}

int64_t rb_pace_due(const RbPace *pace, int64_t at_us)
{
    return pace->start_us + (at_us - pace->base_us) * RB_PACE_NORMAL / pace->eighths;
}

int64_t rb_pace_film_time(const RbPace *pace, int64_t now_us)
{
    return pace->base_us + (now_us - pace->start_us) * pace->eighths / RB_PACE_NORMAL;
}
