/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "config.h"

#include "film-sound.h"

#include "film-settings.h"
#include "speaker.h"

/* A picture clock this far from what was last said is another run, or has gone round a loop. */
#define JUMP_US 60000

struct RbFilmSound {
    const char *path; /* borrowed */
    RbReel *reel;     /* borrowed */
    RbSound *sound;   /* owned, NULL until it is wanted */
    bool on;
    int64_t film_us; /* what was last said: this film time is heard at at_us */
    int64_t at_us;
};

RbFilmSound *rb_film_sound_new(const char *path, RbReel *reel)
{
    RbFilmSound *sound = g_new0(RbFilmSound, 1);
    sound->path = path;
    sound->reel = reel;
    return sound;
}

void rb_film_sound_free(RbFilmSound *sound)
{
    if (sound != NULL) {
        rb_sound_close(sound->sound);
        g_free(sound);
    }
}

static bool film_has_sound(RbFilmSound *sound)
{
    g_autoptr(RbFilmFacts) facts = rb_reel_dup_facts(sound->reel);
    return facts != NULL && facts->has_audio;
}

static void say(RbFilmSound *sound, int64_t film_us, int64_t now_us)
{
    if (sound->sound == NULL) {
        if (!film_has_sound(sound)) {
            return;
        }
        sound->sound =
            rb_sound_open(sound->path, sound->reel, &rb_speaker_sink, rb_speaker_new());
    }
    sound->on = true;
    sound->film_us = film_us;
    sound->at_us = now_us;
    rb_sound_play(sound->sound, film_us, now_us);
}

void rb_film_sound_keep(RbFilmSound *sound, const RbFilmPlayer *player, bool mute)
{
    const int64_t now_us = g_get_monotonic_time();
    int64_t film_us = 0;
    const bool wanted = !mute && rb_film_settings_get_sound(rb_film_settings_get()) &&
                        rb_film_player_get_real_speed(player) == RB_FILM_PLAYER_NORMAL &&
                        rb_film_player_get_clock(player, now_us, &film_us);
    if (!wanted) {
        if (sound->on) {
            sound->on = false;
            rb_sound_stop(sound->sound);
        }
        return;
    }
    if (!sound->on || ABS(film_us - (sound->film_us + now_us - sound->at_us)) > JUMP_US) {
        say(sound, film_us, now_us);
    }
}
