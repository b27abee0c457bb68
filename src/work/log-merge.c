/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "config.h"

#include <glib/gi18n-lib.h>

#include "log-align.h"

/* The facts that a log can bring, as numbers with the value that stands for unknown. */
typedef enum { FACT_INT, FACT_ID } FactKind;

typedef struct {
    const char *what;
    FactKind kind;
    size_t offset;
    int unknown;
    bool guides; /* plays are told apart by it */
} Fact;

#define INT(what, member, unknown, guides)                                               \
    {                                                                                    \
        what, FACT_INT, offsetof(RbSnap, member), unknown, guides                        \
    }
#define ID(what, member)                                                                 \
    {                                                                                    \
        what, FACT_ID, offsetof(RbSnap, member), 0, false                                \
    }

G_STATIC_ASSERT(sizeof(RbHash) == sizeof(int) && sizeof(RbPhase) == sizeof(int) &&
                sizeof(RbPlay) == sizeof(int) && sizeof(RbResult) == sizeof(int) &&
                sizeof(RbEnding) == sizeof(int));

static const Fact facts[] = {
    INT(N_("quarter"), situation.quarter, 0, true),
    INT(N_("clock"), situation.clock_s, -1, true),
    INT(N_("down"), situation.down, 0, true),
    INT(N_("distance"), situation.distance, 0, true),
    INT(N_("spot"), situation.yards_to_goal, 0, true),
    INT(N_("hash"), situation.hash, 0, false),
    INT(N_("play"), play, 0, false),
    INT(N_("result"), result, 0, true),
    INT(N_("ending"), ending, 0, false),
    INT(N_("kind of down"), situation.phase, 0, false),
    ID(N_("team with the ball"), situation.offense),
    ID(N_("quarterback"), quarterback),
    ID(N_("personnel"), personnel),
    ID(N_("formation"), formation),
    ID(N_("motion"), motion),
};

static int64_t get(const RbSnap *snap, const Fact *fact)
{
    const char *at = (const char *)snap + fact->offset;
    return fact->kind == FACT_ID ? *(const int64_t *)at : *(const int *)at;
}

static void set(RbSnap *snap, const Fact *fact, int64_t value)
{
    char *at = (char *)snap + fact->offset;
    if (fact->kind == FACT_ID) {
        *(int64_t *)at = value;
    } else {
        *(int *)at = (int)value;
    }
}

void rb_log_compare(const RbSnap *a, const RbSnap *b, int *alike, int *differs)
{
    *alike = 0;
    *differs = 0;
    for (size_t i = 0; i < G_N_ELEMENTS(facts); i++) {
        const int64_t one = get(a, &facts[i]);
        const int64_t other = get(b, &facts[i]);
        if (facts[i].guides && one != facts[i].unknown && other != facts[i].unknown) {
            *(one == other ? alike : differs) += 1;
        }
    }
    if (a->has_gain == RB_YES && b->has_gain == RB_YES) {
        *(a->gain == b->gain ? alike : differs) += 1;
    }
}

static void tell(GString *text, const char *what)
{
    if (text != NULL) {
        g_string_append_printf(text, "%s%s", text->len > 0 ? ", " : "", what);
    }
}

void rb_log_merge(RbSnap *snap, const RbSnap *from, bool overwrite, int *filled,
                  int *differs, GString *text)
{
    for (size_t i = 0; i < G_N_ELEMENTS(facts); i++) {
        const int64_t has = get(snap, &facts[i]);
        const int64_t gets = get(from, &facts[i]);
        if (gets == facts[i].unknown || gets == has) {
            continue;
        }
        if (has == facts[i].unknown) {
            (*filled)++;
        } else {
            (*differs)++;
            tell(text, _(facts[i].what));
        }
        if (has == facts[i].unknown || overwrite) {
            set(snap, &facts[i], gets);
        }
    }
    if (from->has_gain != RB_YES ||
        (snap->has_gain == RB_YES && snap->gain == from->gain)) {
        return;
    }
    const bool had = snap->has_gain == RB_YES;
    *(had ? differs : filled) += 1;
    if (had) {
        tell(text, _("gain"));
    }
    if (!had || overwrite) {
        snap->has_gain = RB_YES;
        snap->gain = from->gain;
    }
}
