/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "suite.h"

#include "film/growth.h"

TCase *rb_case_broken(void);
TCase *rb_case_scene_cuts(void);
TCase *rb_case_confine(void);
TCase *rb_case_cutter(void);
TCase *rb_case_fields(void);
TCase *rb_case_fingerprint(void);
TCase *rb_case_grow(void);
TCase *rb_case_index(void);
TCase *rb_case_kinds(void);
TCase *rb_case_play(void);
TCase *rb_case_player(void);
TCase *rb_case_player_film(void);
TCase *rb_case_protocol(void);
TCase *rb_case_recovery(void);
TCase *rb_case_reel(void);
TCase *rb_case_refused(void);
TCase *rb_case_small_pictures(void);
TCase *rb_case_snap_finder(void);
TCase *rb_case_sound(void);
TCase *rb_case_thumbs(void);
TCase *rb_case_tone(void);
TCase *rb_case_copy_out(void);
TCase *rb_case_halve(void);
TCase *rb_case_packet_rules(void);
TCase *rb_case_writer(void);

int main(void)
{
    rb_growth_set_ms(0, 0); /* films of tests are always fresh */
    static const RbCaseMaker makers[] = {
        rb_case_snap_finder,  rb_case_scene_cuts,     rb_case_protocol,
        rb_case_confine,      rb_case_index,          rb_case_fingerprint,
        rb_case_writer,       rb_case_reel,           rb_case_refused,
        rb_case_play,         rb_case_player,         rb_case_recovery,
        rb_case_kinds,        rb_case_broken,         rb_case_cutter,
        rb_case_player_film,  rb_case_small_pictures, rb_case_tone,
        rb_case_copy_out,     rb_case_thumbs,         rb_case_sound,
        rb_case_fields,       rb_case_grow,           rb_case_halve,
        rb_case_packet_rules,
    };
    return rb_suite_main("film", makers, sizeof makers / sizeof makers[0]);
}
