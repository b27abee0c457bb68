/* SPDX-License-Identifier: GPL-3.0-or-later */
/* A play in a sentence, by a small grammar of general English:
 *
 *   play    := { clause }           clauses end with a comma, a stop, "and" or "then"
 *   clause  := [name] action [name] [yards] | ending | flag
 *   action  := "pass" ("complete" | "incomplete" | "intercepted") | "sacked" | "rush" | …
 *   yards   := "for" (["minus"] number "yards" | "no gain" | "a gain of" number | …)
 *
 * Names and all else between are passed over. Only what leaves one reading is said: two
 * different gains, or a penalty that was not declined, leave the gain unknown. */
#include <string.h>

#include "log-private.h"

enum { WORDS_MAX = 120 };

typedef struct {
    char **words; /* owned */
    int n;
} Sentence;

static bool is(const Sentence *s, int i, const char *word)
{
    return i >= 0 && i < s->n && strcmp(s->words[i], word) == 0;
}

/* True when the words of `phrase`, blanks between, stand from i on. */
static bool says_at(const Sentence *s, int i, const char *phrase)
{
    for (const char *at = phrase; *at != '\0'; i++) {
        const size_t n = strcspn(at, " ");
        if (i >= s->n || strlen(s->words[i]) != n || strncmp(s->words[i], at, n) != 0) {
            return false;
        }
        at += n + (at[n] == ' ');
    }
    return true;
}

static bool says(const Sentence *s, const char *phrase)
{
    for (int i = 0; i < s->n; i++) {
        if (says_at(s, i, phrase)) {
            return true;
        }
    }
    return false;
}

static bool says_any(const Sentence *s, const char *const *phrases)
{
    for (; *phrases != NULL; phrases++) {
        if (says(s, *phrases)) {
            return true;
        }
    }
    return false;
}

static bool number_at(const Sentence *s, int i, int *number)
{
    if (i >= s->n || !g_ascii_isdigit(*s->words[i]) || strlen(s->words[i]) > 2) {
        return false;
    }
    *number = (int)g_ascii_strtoll(s->words[i], NULL, 10);
    return true;
}

static bool is_yards(const Sentence *s, int i)
{
    return is(s, i, "yard") || is(s, i, "yards") || is(s, i, "yd") || is(s, i, "yds");
}

/* A gain that starts at word i. */
static bool gain_at(const Sentence *s, int i, int *gain)
{
    int number = 0;
    if (says_at(s, i, "no gain")) {
        *gain = 0;
        return true;
    }
    if ((says_at(s, i, "loss of") || says_at(s, i, "gain of")) &&
        number_at(s, i + 2, &number)) {
        *gain = is(s, i, "loss") ? -number : number;
        return true;
    }
    const int sign = is(s, i + 1, "minus") ? 1 : 0;
    if (is(s, i, "for") && number_at(s, i + 1 + sign, &number) &&
        is_yards(s, i + 2 + sign)) {
        *gain = sign == 1 || is(s, i + 3, "loss") ? -number : number;
        return true;
    }
    if ((is(s, i, "loses") || is(s, i, "gains")) && number_at(s, i + 1, &number)) {
        *gain = is(s, i, "loses") ? -number : number;
        return true;
    }
    return false;
}

/* The one gain that is said; none when two differ. */
static bool find_gain(const Sentence *s, int *gain)
{
    int n = 0;
    for (int i = 0; i < s->n; i++) {
        int one = 0;
        if (!gain_at(s, i, &one)) {
            continue;
        }
        if (n > 0 && one != *gain) {
            return false;
        }
        *gain = one;
        n++;
    }
    return n > 0;
}

typedef struct {
    const char *phrases[8]; /* NULL-ended */
    RbPlay play;
    RbResult result;
    RbPhase phase;
} Action;

/* The first row that is said holds, so the narrower stand first. */
static const Action actions[] = {
    { { "kickoff", "kicks off", "free kick", "onside kick", "kicks onside", NULL },
      RB_PLAY_KICKOFF,
      RB_RESULT_KICKED,
      RB_PHASE_FREE_KICK },
    { { "punt", "punts", "punted", NULL },
      RB_PLAY_PUNT,
      RB_RESULT_KICKED,
      RB_PHASE_SCRIMMAGE },
    { { "intercepted", "interception", NULL },
      RB_PLAY_DROPBACK,
      RB_RESULT_INTERCEPTED,
      RB_PHASE_SCRIMMAGE },
    { { "sacked", "sack", "sacks", "sacked by", NULL },
      RB_PLAY_DROPBACK,
      RB_RESULT_SACK,
      RB_PHASE_SCRIMMAGE },
    { { "throws it away", "throws the ball away", "thrown away", NULL },
      RB_PLAY_DROPBACK,
      RB_RESULT_THROWN_AWAY,
      RB_PHASE_SCRIMMAGE },
    { { "spikes the ball", "spiked the ball", "spike", "spikes", NULL },
      RB_PLAY_SPIKE,
      RB_RESULT_INCOMPLETE,
      RB_PHASE_SCRIMMAGE },
    { { "incomplete", "dropped", "falls incomplete", "broken up", NULL },
      RB_PLAY_DROPBACK,
      RB_RESULT_INCOMPLETE,
      RB_PHASE_SCRIMMAGE },
    { { "scramble", "scrambles", "scrambled", NULL },
      RB_PLAY_DROPBACK,
      RB_RESULT_SCRAMBLE,
      RB_PHASE_SCRIMMAGE },
    { { "complete", "completes", "completed", "catches", "caught", NULL },
      RB_PLAY_DROPBACK,
      RB_RESULT_COMPLETE,
      RB_PHASE_SCRIMMAGE },
    { { "kneels", "takes a knee", "kneel", "kneeled", "knelt", NULL },
      RB_PLAY_KNEEL,
      RB_RESULT_RUN,
      RB_PHASE_SCRIMMAGE },
    { { "rush", "rushes", "rushed", "run", "runs", "ran", "carries", NULL },
      RB_PLAY_RUN,
      RB_RESULT_RUN,
      RB_PHASE_SCRIMMAGE },
};

/* Words that name a run only where nothing else was said: "22 left tackle for 3 yards". */
static const char *const ways_to_run[] = { "left end",      "right end",  "left tackle",
                                           "right tackle",  "left guard", "right guard",
                                           "up the middle", "up middle",  NULL };

/* "field goal attempt from 35 GOOD", "33 yard field goal is no good": what became of it stands
 * anywhere behind. */
static bool find_kick(const Sentence *s, RbLogSaid *said)
{
    static const char *const tries[] = { "extra point", "kick attempt", "pat", NULL };
    static const char *const bad[] = { "no good", "missed", "misses", "blocked",
                                       "failed",  "wide",   "short",  NULL };
    const bool is_try = says_any(s, tries);
    if ((!is_try && !says(s, "field goal")) || says(s, "fake")) {
        return false;
    }
    const bool missed = says_any(s, bad);
    if (!missed && !says(s, "good") && !says(s, "makes") && !says(s, "made")) {
        return false;
    }
    said->play = RB_PLAY_FIELD_GOAL;
    said->result = missed ? RB_RESULT_KICK_MISSED : RB_RESULT_KICK_GOOD;
    said->phase = is_try ? RB_PHASE_TRY : RB_PHASE_SCRIMMAGE;
    return true;
}

/* A sentence that does not say "complete": a pass that gained yards was caught, and so was one
 * that is told without what became of it; "pass interference" is a foul. */
static bool find_plain_action(const Sentence *s, RbLogSaid *said)
{
    static const char *const threw[] = { "pass",   "passes", "passed",
                                         "throws", "threw",  NULL };
    int gain = 0;
    if (!find_gain(s, &gain) || says(s, "interference")) {
        return false;
    }
    if (says_any(s, threw)) {
        said->play = RB_PLAY_DROPBACK;
        said->result = RB_RESULT_COMPLETE;
    } else if (says_any(s, ways_to_run)) {
        said->play = RB_PLAY_RUN;
        said->result = RB_RESULT_RUN;
    } else {
        return false;
    }
    said->phase = RB_PHASE_SCRIMMAGE;
    return true;
}

static bool find_action(const Sentence *s, RbLogSaid *said)
{
    if (find_kick(s, said)) {
        return true;
    }
    for (size_t i = 0; i < G_N_ELEMENTS(actions); i++) {
        if (says_any(s, actions[i].phrases)) {
            said->play = actions[i].play;
            said->result = actions[i].result;
            said->phase = actions[i].phase;
            return true;
        }
    }
    return find_plain_action(s, said);
}

static void find_ending(const Sentence *s, RbLogSaid *said)
{
    static const char *const lost[] = { "fumble lost", "fumbles and loses",
                                        "recovered by the defense", "lost fumble", NULL };
    const bool returned = says(s, "returned") || says(s, "return");
    if (says(s, "touchdown")) {
        /* Who scored on a return is told by what was returned. */
        const bool against = said->result == RB_RESULT_INTERCEPTED || says_any(s, lost) ||
                             (said->result == RB_RESULT_KICKED && returned);
        said->ending = against ? RB_ENDING_TOUCHDOWN_AGAINST : RB_ENDING_TOUCHDOWN;
    } else if (says(s, "for a safety") || says(s, "safety scored")) {
        said->ending = RB_ENDING_SAFETY;
    } else if (says_any(s, lost)) {
        said->ending = RB_ENDING_FUMBLE_LOST;
    }
}

/* The gain of a kick, of a ball that changed hands or of a play with a flag is another story. */
static void settle_gain(const Sentence *s, RbLogSaid *said)
{
    const bool flag = (says(s, "penalty") || says(s, "flag")) && !says(s, "declined");
    /* Gains of a try are not counted. */
    if (said->phase == RB_PHASE_TRY) {
        return;
    }
    const bool lost = said->result == RB_RESULT_INTERCEPTED || says(s, "fumble") ||
                      says(s, "fumbles") || says(s, "lateral");
    int gain = 0;
    switch (said->result) {
    case RB_RESULT_INCOMPLETE:
    case RB_RESULT_THROWN_AWAY:
        said->has_gain = !flag;
        return;
    case RB_RESULT_COMPLETE:
    case RB_RESULT_SACK:
    case RB_RESULT_SCRAMBLE:
    case RB_RESULT_RUN:
        break;
    case RB_RESULT_UNKNOWN:
    case RB_RESULT_INTERCEPTED:
    case RB_RESULT_KICK_GOOD:
    case RB_RESULT_KICK_MISSED:
    case RB_RESULT_KICKED:
    case RB_RESULT_NO_PLAY:
        return;
    }
    if (!flag && !lost && find_gain(s, &gain)) {
        said->has_gain = true;
        /* "sacked for 7 yards" loses them. */
        said->gain = said->result == RB_RESULT_SACK ? -ABS(gain) : gain;
    }
}

/* "for -7 yards" and the same with a true minus sign: the plain words know no signs. Returns:
 * (transfer full). */
static char *say_minus(const char *text)
{
    GString *said = g_string_new(NULL);
    char before = ' ';
    for (const char *at = text; *at != '\0'; at++) {
        const bool sign = g_str_has_prefix(at, "\u2212");
        const char *after = sign ? at + strlen("\u2212") : at + 1;
        if ((sign || *at == '-') && before == ' ' && g_ascii_isdigit(*after)) {
            g_string_append(said, "minus ");
            at = after - 1;
        } else {
            g_string_append_c(said, *at);
        }
        before = *at;
    }
    return g_string_free(said, FALSE);
}

bool rb_log_text_parse(const char *text, RbLogSaid *said)
{
    *said = (RbLogSaid){ 0 };
    g_autofree char *signs = say_minus(text);
    g_autofree char *plain = rb_log_plain(signs);
    Sentence s = { g_strsplit(plain, " ", WORDS_MAX), 0 };
    s.n = (int)g_strv_length(s.words);
    bool found = find_action(&s, said);
    if (says(&s, "no play")) {
        *said = (RbLogSaid){ .play = said->play, .result = RB_RESULT_NO_PLAY };
        found = true;
    } else if (found && (says(&s, "two point") || says(&s, "2 point") ||
                         says(&s, "conversion attempt"))) {
        said->phase = RB_PHASE_TRY;
    } else if (found) {
        find_ending(&s, said);
        settle_gain(&s, said);
    }
    g_strfreev(s.words);
    return found;
}
