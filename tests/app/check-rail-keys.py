# SPDX-License-Identifier: GPL-3.0-or-later
"""Tags 40 dropbacks of a demo season in the real window with nothing but keys, from truth.

The charts of the last game are hidden, its facts stay as a log would give them; what is likely
is learned from the games before. The season is one whose last game has forty dropbacks. Each question is read off the window as a screen reader
reads it, answered from truth, and the library is compared with truth at the end.

RB_TEST_LONG tags forty dropbacks and not twelve. RB_TEST_RAIL_SEED and RB_TEST_DROPBACKS say
another season and number.
"""
import os
import sqlite3
import statistics
import subprocess
import time

from window import ACCESSIBLE, LONG, Role, State, cli, demo, fail, opened, step, wait_for

SEED = os.environ.get("RB_TEST_RAIL_SEED", "7304")
DROPBACKS = int(os.environ.get("RB_TEST_DROPBACKS", 40 if LONG else 12))
REQUIRED = ["concept", "side-worked", "shell", "coverage", "ball", "pressure", "throw", "catch"]
# What the window calls a value whose name is not its token.
LABELS = {
    ("pressure", "none"): "No pressure", ("pressure", "came"): "Pressure",
    ("shell", "none-deep"): "No deep safety", ("throw", "tipped"): "Tipped at the line",
    ("catch", "none"): "Nothing to catch", ("rotation", "none"): "No rotation",
    ("rotation", "left"): "To the left", ("rotation", "right"): "To the right",
    ("fault", "wrong-call"): "Wrong call heard", ("fault", "protection"): "Protection bust",
}

# Card, Moran and Newell, Comm. ACM 23(7), 1980, 396-410: seconds of a key by an average typist
# of 55 words a minute, of one of a typed code, and of preparing oneself.
KEY_S, CODE_S, MENTAL_S = 0.20, 0.75, 1.35


class Keys:
    """Presses real keys and keeps count of them."""

    def __init__(self):
        self.log = []

    def press(self, *names):
        subprocess.run(["xdotool", "key", *names], check=True)
        self.log.extend(names)


class Rail:
    """What the window asks. Its few widgets stay, so each is asked alone: that is quicker than the
    whole tree."""

    def __init__(self, window):
        self.window = window
        self.panel = wait_for("the rail", lambda: next(
            (n.path for n in window.root().all()
             if n.name.endswith("?") and n.role != Role.LABEL), None))
        self.box = wait_for("the choices", lambda: window.find(name="Choices")).path

    def value(self, path, name):
        return self.window.bus.value(self.window.owner, path, name)

    def title(self):
        return self.value(self.panel, "Name")

    def words(self):
        """Everything the rail says, for a message."""
        panel = next(n for n in self.window.root().all() if n.path == self.panel)
        return [n.name for n in panel.all() if n.role == Role.LABEL]

    def options(self):
        """Pairs of label and key, in order."""
        found, bus, owner = [], self.window.bus, self.window.owner
        for _, row in bus.children(owner, self.box):
            states = bus.call(owner, row, ACCESSIBLE, "GetState")
            if not states[0] >> int(State.VISIBLE) & 1:
                continue
            name = self.value(row, "Name")
            label, _, key = name.rpartition(", key ")
            found.append((label or name, key if label else ""))
        return found


def settled_options(rail):
    """The choices once they no longer change: news of names comes one by one."""
    last = None
    while True:
        now = rail.options()
        if now == last:
            return now
        last = now
        time.sleep(0.02)


def hide_charts(library):
    """What is true stays with the test; the library keeps the facts of the last game."""
    with sqlite3.connect(library) as base:
        game = base.execute("SELECT id FROM game ORDER BY played_on DESC").fetchone()[0]
        base.execute("UPDATE chart SET removed = 1 WHERE snap IN "
                     "(SELECT id FROM snap WHERE game = ?)", (game,))
    return str(game)


def word(token):
    return token.replace("-", " ")


def same(label, token):
    return label.lower().replace("-", " ") == word(token)


def both(label, left, right):
    if left == right:
        return label.lower() == word(left) + ", both sides"
    return label.lower() == "%s left, %s right" % (word(left), word(right))


def is_true(title, label, tags):
    """Whether a choice of the question is what is so."""
    get = lambda name: tags.get(name) or ""  # noqa: E731
    if title == "Concept?":
        where = {"mirrored": ", both sides"}.get(get("call"), ", " + get("concept-side"))
        return same(label, get("concept") + where)
    if title == "Corners?":
        return both(label, get("left-technique"), get("right-technique"))
    if title == "Leverage?":
        return both(label, get("left-leverage"), get("right-leverage"))
    if title == "Corners, played?":
        return both(label, get("left-technique-played"), get("right-technique-played"))
    if title == "Half-field safeties?":
        return both(label, get("safety-left"), get("safety-right"))
    if title == "Unblocked rusher?":
        side = get("unblocked-side")
        return label == ("From the " + side if side else "None")
    if title == "Adjusted?":
        return same(label, get("adjustment") or "none made")
    if title == "Ball?":
        ball = get("ball")
        return label.startswith(ball[5:] + "  ") if ball.startswith("read-") else same(label, ball)
    if title == "Hit, or outside his control?":
        fault, contact = get("fault"), get("contact")
        if contact == "hit":
            return label == "Hit during the throw"
        if fault in ("", "none"):
            return label in ("Neither", "Nothing")
        return label.lower() == "%s, read %s" % (
            LABELS.get(("fault", fault), word(fault)).lower(), get("fault-read"))
    field = FIELD_OF.get(title.split(":")[0].rstrip("?"))
    if field is None:
        fail("the test does not know the question %s" % title)
    value = get(field)
    named = LABELS.get((field.split("-")[0] if "rotation" in field else field, value))
    if named:
        return label == named
    return label.lower().replace("-", " ") in (word(value), word(value) + " yd")


FIELD_OF = {
    "Shell": "shell", "Rotation hinted": "rotation-shown", "Side worked": "side-worked",
    "Left corner": "left-technique", "Right corner": "right-technique",
    "Left corner, played": "left-technique-played",
    "Right corner, played": "right-technique-played",
    "Left cushion": "left-cushion", "Right cushion": "right-cushion",
    "Left leverage": "left-leverage", "Right leverage": "right-leverage",
    "Coverage": "coverage", "Rotation": "rotation-played", "Rushers": "rushers",
    "Half-field safety left": "safety-left", "Half-field safety right": "safety-right",
    "Pressure": "pressure", "Pressure at": "pressure-time", "Throw": "throw", "Catch": "catch",
    "Release": "release", "Movement": "movement", "Width": "width",
    **{"Read %d" % i: "read-%d" % i for i in range(1, 9)},
}


TYPED = ("release", "pressure-time", "left-cushion", "right-cushion", "rushers")


def keysym(character):
    return {".": "period", "/": "slash", ";": "semicolon", "-": "minus"}.get(character, character)


def answer(keys, title, options, tags):
    """Presses what a person would. Returns the name of the answer for the log."""
    for place, (label, key) in enumerate(options):
        if is_true(title, label, tags):
            if place == 0:
                keys.press("Return")
            elif key:
                keys.press(key)
            elif title in ("Corners?", "Leverage?", "Corners, played?", "Half-field safeties?"):
                keys.press("semicolon")
            else:
                keys.press("slash", *[keysym(c) if c != " " else "space" for c in label],
                           "Return")
            return
    field = FIELD_OF.get(title.split(":")[0].rstrip("?"))
    value = tags.get(field) or ""
    if field in TYPED and value:
        keys.press(*[keysym(c) for c in value], "Return")
    else:
        fail("no choice of %s is true: %s; truth: %s" % (title, options, tags))


def answerable(title, options, tags):
    """The choices when one of them is true, or the value can be typed; as one true value."""
    field = FIELD_OF.get(title.split(":")[0].rstrip("?"))
    if any(is_true(title, label, tags) for label, _ in options) or \
            (field in TYPED and tags.get(field)):
        return (options,)
    return None


def tag_snap(rail, keys, tags):
    """All questions of the snap at hand. Returns the keys it took, and those typed for times."""
    start, times = len(keys.log), 0
    for _ in range(40):
        title = rail.title()
        if title == "Nothing left to ask":
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


def spreadsheet_keys(tags):
    """The same tags typed as codes of two letters, a cell each, Tab between cells."""
    fields = [name for name, value in tags.items() if value]
    return 3 * len(fields), len(fields)


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
                     lambda: rail.title() != "Nothing left to ask")
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
