/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "config.h"

#include <inttypes.h>
#include <string.h>
#include <sys/utsname.h>

#include "rb/film/helper.h"
#include "rb/work/films.h"

/* What a film is, for strangers: nothing that says whose it is or what it shows. */

static void add(GString *text, const char *name, char *value)
{
    g_string_append_printf(text, "%s: %s\n", name, value != NULL ? value : "unknown");
    g_free(value);
}

static char *ratio(RbRational value, char sign)
{
    return g_strdup_printf("%d%c%d", value.num, sign, value.den);
}

static void add_facts(GString *text, const RbFilmLook *look)
{
    const RbFilmFacts *facts = look->facts;
    add(text, "bytes", g_strdup_printf("%" PRId64, look->bytes));
    add(text, "container", g_strdup(facts->container));
    add(text, "codec", g_strdup(facts->codec));
    add(text, "pixel format", g_strdup(facts->pixel_format));
    add(text, "size as coded", g_strdup_printf("%dx%d", facts->width, facts->height));
    add(text, "size as shown",
        g_strdup_printf("%dx%d", facts->shown_width, facts->shown_height));
    add(text, "pixel shape", ratio(facts->pixel_shape, ':'));
    add(text, "turned by", g_strdup_printf("%d degrees", facts->rotation));
    add(text, "interlaced", g_strdup(facts->interlaced ? "yes" : "no"));
    add(text, "rate", ratio(look->rate, '/'));
    add(text, "time base", ratio(facts->time_base, '/'));
    add(text, "frames", g_strdup_printf("%" PRId64, look->frames));
    add(text, "length in microseconds", g_strdup_printf("%" PRId64, look->length_us));
    add(text, "sound", g_strdup(facts->has_audio ? facts->audio_codec : "none"));
}

/* A sentence may name the file: by its path as given, in full, or by its name alone. */
static void add_sentence(GString *text, const char *name, const char *sentence,
                         const char *path)
{
    g_autofree char *full = g_canonicalize_filename(path, NULL);
    g_autofree char *base = g_path_get_basename(path);
    const char *const hidden[] = { full, path, base };
    g_autoptr(GString) said = g_string_new(sentence);
    for (size_t i = 0; i < G_N_ELEMENTS(hidden); i++) {
        g_autofree char *shown = g_filename_display_name(hidden[i]);
        g_string_replace(said, hidden[i], "FILM", 0);
        g_string_replace(said, shown, "FILM", 0);
    }
    add(text, name, g_strdup(said->str));
}

static void add_machine(GString *text)
{
    struct utsname machine;
    g_autofree char *versions = rb_film_helper_versions(NULL);
    if (uname(&machine) == 0) {
        add(text, "system",
            g_strdup_printf("%s %s %s", machine.sysname, machine.release,
                            machine.machine));
    }
    add(text, "GLib",
        g_strdup_printf("%u.%u.%u", glib_major_version, glib_minor_version,
                        glib_micro_version));
    g_string_append_printf(text, "%s\n",
                           versions != NULL ? versions : "helper: does not answer");
}

/* "mp4"; what is no usual ending is not repeated. Returns: (transfer full). */
static char *ending_of(const char *path)
{
    g_autofree char *base = g_path_get_basename(path);
    const char *dot = strrchr(base, '.');
    bool usual = dot != NULL && dot[1] != '\0' && strlen(dot) <= 6;
    for (const char *at = dot; usual && *++at != '\0';) {
        usual = g_ascii_isalnum(*at);
    }
    return g_strdup(usual ? dot + 1 : "none");
}

char *rb_film_report(const char *path, const RbFilmLook *look, const GError *failure)
{
    GString *text = g_string_new("Readbreak " RB_VERSION ", what a film is\n");
    add(text, "name ends with", ending_of(path));
    if (look != NULL) {
        add_facts(text, look);
        for (guint i = 0; i < look->remarks->len; i++) {
            add_sentence(text, "remark", look->remarks->pdata[i], path);
        }
    }
    if (failure != NULL) {
        add_sentence(text, "refused", failure->message, path);
    }
    add_machine(text);
    return g_string_free(text, FALSE);
}
