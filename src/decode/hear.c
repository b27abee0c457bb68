/* SPDX-License-Identifier: GPL-3.0-or-later */
#include <stdlib.h>

#include "rb/film/error.h"

#include "ears.h"
#include "roles.h"

_Noreturn void role_hear(const Asked *asked)
{
    static Ears ears;
    ears.fd = asked->fds[0];
    float *pairs = (float *)(void *)parent_map(
        asked->fds[1], 2 * sizeof(float) * RB_SOUND_PAIRS_MAX, true);
    for (;;) {
        Asked next;
        parent_receive(&next);
        const RbAskSound *ask = &next.ask.sound;
        if (next.ask.head.kind != RB_ASK_SOUND || ask->pairs > RB_SOUND_PAIRS_MAX) {
            exit(EXIT_FAILURE); /* a parent of another build */
        }
        if (!ears_open(&ears) ||
            !ears_fill(&ears, (double)ask->at_us / 1e6, pairs, ask->pairs)) {
            parent_send_fault(ask->head.serial, RB_FILM_ERROR_NO_DECODER, 0);
            continue;
        }
        RbTellSound tell = { .head = { .kind = RB_TELL_SOUND,
                                       .serial = ask->head.serial },
                             .pairs = ask->pairs };
        parent_send(&tell, sizeof tell);
    }
}
