# SPDX-License-Identifier: GPL-3.0-or-later
"""Tags 40 dropbacks of a demo season in the real window with nothing but keys, from truth.

The charts of the last game are hidden, its facts stay as a log would give them; what is likely
is learned from the games before. The season is one whose last game has forty dropbacks.
Each question is read off the window as a screen reader reads it, answered from truth, and the library is compared with truth at the end.

RB_TEST_LONG tags forty dropbacks and not twelve. RB_TEST_RAIL_SEED and RB_TEST_DROPBACKS say
another season and number.
"""
import os
import statistics
import subprocess

from rail import DONE, FIELD_OF, Keys, Rail, answer, answerable, hide_charts, settled_options
from window import LONG, cli, demo, fail, opened, step, wait_for

SEED = os.environ.get("RB_TEST_RAIL_SEED", "7304")
DROPBACKS = int(os.environ.get("RB_TEST_DROPBACKS", 40 if LONG else 12))
REQUIRED = ["concept", "side-worked", "shell", "coverage", "ball", "pressure", "throw", "catch"]

# Card, Moran and Newell, Comm. ACM 23(7), 1980, 396-410: seconds of a key by an average typist
# of 55 words a minute, of one of a typed code, and of preparing oneself.
KEY_S, CODE_S, MENTAL_S = 0.20, 0.75, 1.35


def tag_snap(rail, keys, tags):
    """All questions of the snap at hand. Returns the keys it took, and those typed for times."""
    start, times = len(keys.log), 0
    for _ in range(40):
        title = rail.title()
        if title == DONE:
            return len(keys.log) - start, times
        options = wait_for(lambda title=title: "a true choice of %s: %s" % (title, rail.words()),
                           lambda title=title: answerable(title, settled_options(rail), tags))
        before = len(keys.log)
        answer(keys, title, options[0], tags)
        if title in ("Release?", "Pressure at?"):
            times += len(keys.log) - before - 1
        wait_for(lambda title=title, before=before: "what comes after %s answered by %s on %s" %
                 (title, " ".join(keys.log[before:]), rail.words()),
                 lambda title=title: rail.title() != title)
    return fail("the rail does not end")


def report(counts, keys, fields_a_snap):
    answers = [a - t for a, t in counts]
    enters = sum(1 for name in keys if name == "Return")
    median = statistics.median(answers)
    film = sum(t for _, t in counts)
    print("Answer keys a dropback: median %g, mean %.1f, most %d." %
          (median, statistics.mean(answers), max(answers)))
    print("Typed in place of film keys (times, no film here): %.1f a dropback." %
          (film / len(counts)))
    print("Enter: %.0f %% of all keys." % (100 * enters / len(keys)))
    rail_s = statistics.mean(a * (MENTAL_S + KEY_S) for a in answers)
    sheet_s = fields_a_snap * (MENTAL_S + 2 * CODE_S + KEY_S)
    sheet_fast_s = fields_a_snap * (MENTAL_S + 3 * KEY_S)
    print("Keystroke-level estimate a dropback, one M a question, K 0.20 s: rail %.1f s; the "
          "same %.1f tags as two-letter codes with Tab: %.1f s (K 0.75 s for complex codes: "
          "%.1f s). Film not counted; the model's own error is about 20 %%." %
          (rail_s, fields_a_snap, sheet_fast_s, sheet_s))
    return median


def compare(library, truth):
    stored = {row["snap"]: row["tags"] for row in cli("snaps", library, "--json")["snaps"]}
    tagged = 0
    for snap, tags in truth.items():
        have = stored[snap]
        for field in REQUIRED:
            if (tags.get(field) or "") != (have.get(field) or ""):
                fail("%s of %s is %s, not %s" % (field, snap, have.get(field), tags.get(field)))
        for field, value in have.items():
            if value and value != tags.get(field):
                fail("%s of %s is %s, not %s" % (field, snap, value, tags.get(field)))
        tagged += sum(1 for field, value in have.items() if value and field in ASKED)
    return tagged / len(truth)


ASKED = set(FIELD_OF.values()) | {"concept", "call", "concept-side", "ball", "contact", "fault",
                                  "unblocked", "adjusted", "adjustment"}


def tag_game(window, due):
    """Tags the dropbacks one after the other. Returns keys a dropback, all keys, and truth."""
    rail, keys, counts, truth = Rail(window), Keys(), [], {}
    for row in due:
        counts.append(tag_snap(rail, keys, row["tags"]))
        truth[row["snap"]] = row["tags"]
        if row is not due[-1]:
            subprocess.run(["xdotool", "key", "Return"], check=True)  # on to the next
            wait_for("the dropback after " + row["snap"],
                     lambda: rail.title() != DONE)
    return counts, keys, truth


def main():
    with demo(SEED) as folder:
        library = os.path.join(folder, "season.readbreak")
        rows = cli("snaps", library, "--json")["snaps"]
        game = hide_charts(library)
        due = [row for row in rows if row["game"] == game and row.get("counts")][:DROPBACKS]
        if len(due) < DROPBACKS:
            fail("the last game of season %s has %d dropbacks" % (SEED, len(due)))
        step("a demo library")
        with opened(library) as window:
            counts, keys, truth = tag_game(window, due)
            fields = compare(library, truth)
            median = report(counts, keys.log, fields)
            window.close()
        if median > 14:
            fail("more than 14 answer keys a dropback")
        step("%d dropbacks tagged by keyboard alone; every tag equal to truth" % len(counts))


main()
