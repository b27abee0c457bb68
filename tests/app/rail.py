# SPDX-License-Identifier: GPL-3.0-or-later
"""The rail of the real window: its questions read as a screen reader reads them, and answered by
key from what is true."""
import sqlite3
import subprocess
import time

from window import ACCESSIBLE, Role, State, fail, wait_for

# What the window calls a value whose name is not its token.
LABELS = {
    ("pressure", "none"): "No pressure", ("pressure", "came"): "Pressure",
    ("shell", "none-deep"): "No deep safety", ("throw", "tipped"): "Tipped at the line",
    ("catch", "none"): "Nothing to catch", ("rotation", "none"): "No rotation",
    ("rotation", "left"): "To the left", ("rotation", "right"): "To the right",
    ("fault", "wrong-call"): "Wrong call heard", ("fault", "protection"): "Protection bust",
}


DONE = "Nothing left to ask"


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
             if (n.name.endswith("?") or n.name == DONE) and n.role != Role.LABEL), None))
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
