/* SPDX-License-Identifier: GPL-3.0-or-later */
/* A person at the rail, without a window: goes through every dropback of a library, answers each
 * question that is due with one of its first choices, and says what it does:
 *
 *     try SNAP FIELD=VALUE …     the answer is given
 *     ok                         it was acknowledged
 *     no SENTENCE                it was not; the same question is asked again, some times
 *
 * rail-tagger LIBRARY PERSON SEED. Its chart is a blind one, so that everything is asked; a later
 * run goes on where this one stopped. For tests that take the disk away, or its life. */
#include <stdio.h>
#include <stdlib.h>

#include "rb/base/random.h"
#include "rb/work/rail.h"

enum { FIRST_CHOICES = 3, REFUSALS_MAX = 5 };

typedef struct {
    RbLibrary *library;
    RbRail *rail;
    RbRandom random;
    int refusals;
} Person;

static bool answer(Person *person, const RbSheet *sheet, const RbQuestion *question)
{
    const int n = MIN((int)question->options->len, FIRST_CHOICES);
    if (n == 0) {
        rb_rail_skip(person->rail, question);
        return true;
    }
    const RbOption *option =
        question->options->pdata[rb_random_int(&person->random, 0, n - 1)];
    const int n_tags = (int)option->tags->len / 2;
    g_autofree RbTagChange *changes = g_new0(RbTagChange, n_tags + 1);
    printf("try %" G_GINT64_FORMAT, sheet->snap->id.value);
    for (int i = 0; i < n_tags; i++) {
        changes[i] =
            (RbTagChange){ option->tags->pdata[2 * i], option->tags->pdata[2 * i + 1] };
        printf("\t%s=%s", changes[i].field, changes[i].value);
    }
    printf("\n");
    g_autoptr(GError) error = NULL;
    if (!rb_library_tag(person->library, sheet->snap->id, changes, n_tags, NULL,
                        &error)) {
        printf("no %s\n", error->message);
        return ++person->refusals < REFUSALS_MAX;
    }
    printf("ok\n");
    rb_rail_answered(person->rail, question);
    return true;
}

/* Asks until nothing is left. False: too much was refused. */
static bool chart_snap(Person *person, RbSnapId snap)
{
    for (int asked = 0; asked < 60; asked++) {
        g_autoptr(GError) error = NULL;
        g_autoptr(RbSheet) sheet = rb_library_load_sheet(person->library, snap, &error);
        if (sheet == NULL) {
            printf("no %s\n", error->message);
            return false;
        }
        const RbRailView view = { .names = sheet->names,
                                  .snap = sheet->snap,
                                  .chart = sheet->chart,
                                  .clips = sheet->clips };
        g_autoptr(RbQuestion) question = rb_rail_ask(person->rail, &view);
        if (question == NULL) {
            return true;
        }
        if (!answer(person, sheet, question)) {
            return false;
        }
    }
    return true;
}

static bool chart_game(Person *person, RbGameId game)
{
    g_autoptr(GPtrArray) snaps = rb_library_load_snaps(person->library, game, NULL);
    for (guint i = 0; snaps != NULL && i < snaps->len; i++) {
        const RbSnap *snap = snaps->pdata[i];
        if (rb_snap_is_dropback(snap) && !chart_snap(person, snap->id)) {
            return false;
        }
    }
    return snaps != NULL;
}

int main(int argc, char **argv)
{
    if (argc != 4) {
        fprintf(stderr, "usage: rail-tagger LIBRARY PERSON SEED\n");
        return 2;
    }
    setvbuf(stdout, NULL, _IOLBF, 0); /* each line is out before the next step */
    g_autoptr(GError) error = NULL;
    Person person = { .library = rb_library_open(argv[1], argv[2], &error) };
    if (person.library == NULL) {
        printf("no %s\n", error->message);
        return 1;
    }
    rb_library_set_blind(person.library, true);
    rb_random_seed(&person.random, (uint64_t)strtoull(argv[3], NULL, 10));
    person.rail = rb_rail_new(NULL);
    g_autoptr(RbNames) names = rb_library_load_names(person.library, &error);
    bool well = names != NULL;
    for (guint i = 0; well && i < rb_names_games(names)->len; i++) {
        const RbGame *game = rb_names_games(names)->pdata[i];
        well = chart_game(&person, game->id);
    }
    rb_rail_free(person.rail);
    rb_library_close(person.library);
    return well ? 0 : 1;
}
