/* SPDX-License-Identifier: GPL-3.0-or-later */
#pragma once

#include <gtk/gtk.h>
#include <stdint.h>

/* What films may use of this computer. One for the program, kept with its
 * settings (settings.h). Signal "changed". */
#define RB_TYPE_FILM_SETTINGS (rb_film_settings_get_type())
G_DECLARE_FINAL_TYPE(RbFilmSettings, rb_film_settings, RB, FILM_SETTINGS, GObject)

/* Returns: (transfer none). */
RbFilmSettings *rb_film_settings_get(void);

/* Bytes of decoded frames, of all films together. 0: as the machine has it. */
int64_t rb_film_settings_get_memory(RbFilmSettings *settings);
/* Bytes of small pictures on the disk. 0: none are made. */
int64_t rb_film_settings_get_disk(RbFilmSettings *settings);
/* Whether they are made of whole films, not of the snaps looked at. */
gboolean rb_film_settings_get_whole(RbFilmSettings *settings);

/* Whether the film is heard when it runs forward at its own speed. */
gboolean rb_film_settings_get_sound(RbFilmSettings *settings);

/* Whether rows of snaps show a still of theirs. */
gboolean rb_film_settings_get_stills(RbFilmSettings *settings);

/* "film.memory", "film.disk" (gigabytes; memory in megabytes), "film.whole", "film.sound" and
 * "film.stills". */
void rb_film_settings_add_actions(GActionMap *map);
