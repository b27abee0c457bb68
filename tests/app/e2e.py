# SPDX-License-Identifier: GPL-3.0-or-later
"""Drives the real window by keyboard and looks at it through the accessibility tree.

Usage: e2e.py READBREAK READBREAK-CLI
"""
import json
import os
import subprocess
import sys
import tempfile
import time

import gi

gi.require_version("Atspi", "2.0")
from gi.repository import Atspi, GLib  # noqa: E402

PROGRAM, CLI = sys.argv[1:3]
PATIENCE_S = 40
# What a person can act on: each of these must have a name.
CONTROLS = {
    Atspi.Role.PUSH_BUTTON, Atspi.Role.TOGGLE_BUTTON, Atspi.Role.COMBO_BOX,
    Atspi.Role.SLIDER, Atspi.Role.ENTRY, Atspi.Role.TEXT, Atspi.Role.IMAGE,
    Atspi.Role.TABLE, Atspi.Role.LIST, Atspi.Role.LIST_ITEM, Atspi.Role.CHECK_BOX,
}


def fail(message):
    print("FAILED:", message, file=sys.stderr)
    sys.exit(1)


def wait_for(what, found):
    """The first true answer of found(); fails after PATIENCE_S."""
    end = time.monotonic() + PATIENCE_S
    while time.monotonic() < end:
        try:
            answer = found()
        except GLib.Error:  # a widget went away while it was looked at
            answer = None
        if answer:
            return answer
        time.sleep(0.05)
    return fail("waited in vain for " + what)


def nodes(node):
    """The visible part of the tree; the pages of a stack count as visible, all of them."""
    yield node
    for i in range(node.get_child_count()):
        child = node.get_child_at_index(i)
        if child is not None and (child.get_role() == Atspi.Role.FRAME or
                                  child.get_state_set().contains(Atspi.StateType.VISIBLE)):
            yield from nodes(child)


def is_named(node):
    """A toolkit name such as GtkButton is what a control is called when nobody named it. The
    button inside a drop-down or menu button speaks with its parent's name."""
    name = node.get_name() or ""
    if name and not name.startswith(("Gtk", "Rb")):
        return True
    parent = node.get_parent()
    return (node.get_role() == Atspi.Role.PUSH_BUTTON and parent is not None and
            parent.get_role() in (Atspi.Role.COMBO_BOX, Atspi.Role.PUSH_BUTTON) and
            is_named(parent))


def find(root, role=None, name=None, starts=None):
    for node in nodes(root):
        if role is not None and node.get_role() != role:
            continue
        text = node.get_name() or ""
        if (name is None or text == name) and (starts is None or text.startswith(starts)):
            return node
    return None


def has(node, state):
    return node is not None and node.get_state_set().contains(state)


def key(*names):
    subprocess.run(["xdotool", "key", "--clearmodifiers", *names], check=True)


def cli(*words):
    done = subprocess.run([CLI, *words], check=True, capture_output=True, text=True)
    return json.loads(done.stdout)


def the_application():
    desktop = Atspi.get_desktop(0)
    for i in range(desktop.get_child_count()):
        application = desktop.get_child_at_index(i)
        if application is not None and application.get_name() == "readbreak":
            return application
    return None


class Window:
    """What the tests ask of the window."""

    def __init__(self, application):
        self.root = application

    def has_desk(self, label):
        return has(find(self.root, Atspi.Role.PUSH_BUTTON, label), Atspi.StateType.PRESSED)

    def says(self, words):
        return find(self.root, starts=words)

    def frame(self):
        film = find(self.root, Atspi.Role.IMAGE, "Film")
        words = film.get_description() if film is not None else ""
        return int(words.split()[1]) if words.startswith("frame ") else None

    def focused(self):
        for node in nodes(self.root):
            if has(node, Atspi.StateType.FOCUSED) and node.get_role() != Atspi.Role.FRAME:
                return node
        return None

    def focus_name(self):
        node = self.focused()
        return node.get_name() or "" if node is not None else ""

    def tag(self, label):
        row = find(self.root, starts=label + ": ")
        return row.get_name()[len(label) + 2:] if row is not None else None

    def nameless(self):
        return ["%s of %s" % (node.get_role_name(), node.get_parent().get_name())
                for node in nodes(self.root)
                if node.get_role() in CONTROLS and not is_named(node)
                and has(node, Atspi.StateType.FOCUSABLE)]


def stored_coverage(library, snap):
    for row in cli("snaps", library, "--json")["snaps"]:
        if row["snap"] == snap:
            return row["tags"]["coverage"]
    return fail("the snap is not in the library")


def check_film(window, truth):
    """The film opens on the snap's own frame, and one key is one frame."""
    marks = next(film for film in truth["film"] if film["angle"] == "wide")["marks"]
    wait_for("the snap's frame", lambda: window.frame() == marks["snap"])
    key("Right")
    wait_for("one frame on", lambda: window.frame() == marks["snap"] + 1)
    key("Left", "Left")
    wait_for("one frame back", lambda: window.frame() == marks["snap"] - 1)
    key("bracketright", "bracketright")
    wait_for("the next marks", lambda: window.frame() == marks["top"])
    tight = next(film for film in truth["film"] if film["angle"] == "tight")["marks"]
    key("s")
    wait_for("the snap again", lambda: window.frame() == marks["snap"])
    key("a")
    wait_for("the same moment, tight", lambda: window.frame() == tight["snap"])
    key("a")
    wait_for("the same moment, wide", lambda: window.frame() == marks["snap"])
    check_film_keys(window, marks, tight)


def second_frame(window):
    film = find(window.root, Atspi.Role.IMAGE, "The other angle")
    words = film.get_description() if film is not None else ""
    return int(words.split()[1]) if words.startswith("frame ") else None


def check_film_keys(window, marks, tight):
    """Every film key that a hand may lie on does what the window says it does."""
    key("b")
    wait_for("both angles on the snap", lambda: window.frame() == marks["snap"] and
             second_frame(window) == tight["snap"])
    key("b")
    wait_for("one angle", lambda: second_frame(window) is None)
    key("comma")
    for _ in range(6):
        key("Right")
    key("period", "o")
    wait_for("the loop in words", lambda: window.says("looping a span"))
    key("space")
    time.sleep(0.5)
    for _ in range(20):
        frame = window.frame()
        if not marks["snap"] <= frame <= marks["snap"] + 6:
            fail("the loop left its span: frame %d" % frame)
        time.sleep(0.05)
    key("k", "o", "slash", "s")
    wait_for("the snap after the loop", lambda: window.frame() == marks["snap"])
    wait_for("no loop", lambda: not window.says("looping"))
    # A key held down steps no further than the picture, and stops where it is let go.
    subprocess.run(["xdotool", "keydown", "Right"], check=True)
    time.sleep(1.2)
    subprocess.run(["xdotool", "keyup", "Right"], check=True)
    time.sleep(0.3)
    rested = window.frame()
    time.sleep(0.4)
    if window.frame() != rested:
        fail("the film ran on after the key was let go")
    if not marks["snap"] < rested <= marks["snap"] + 45:
        fail("a held key stepped to frame %d from %d" % (rested, marks["snap"]))
    key("plus", "plus", "shift+Left", "0", "F9")
    wait_for("the counts", lambda: find(window.root, Atspi.Role.LABEL) and any(
        "left out" in (node.get_name() or "") for node in nodes(window.root)))
    key("F9", "j")
    wait_for("backward", lambda: window.frame() < rested)
    key("k", "s")
    wait_for("the snap at last", lambda: window.frame() == marks["snap"])


def check_desks(window):
    for number, label in ((2, "Playbook"), (3, "Pairings"), (4, "Quarterback"),
                          (5, "Cut-ups"), (1, "Chart")):
        key("ctrl+%d" % number)
        wait_for(label + " desk", lambda label=label: window.has_desk(label))
        time.sleep(0.3)
        nameless = window.nameless()
        if nameless:
            fail("%s desk: controls without a name: %s" % (label, ", ".join(nameless)))


def check_tag(window, library, snap):
    """A tag changed by keyboard alone is stored, undone and redone."""
    before = stored_coverage(library, snap)
    wanted, letter = ("Cover 3", "3") if before != "cover-3" else ("Cover 2", "2")
    key("g")
    wait_for("the tags", lambda: ": " in window.focus_name())
    for _ in range(80):
        if window.focus_name().startswith("Coverage: "):
            break
        key("Down")
        time.sleep(0.03)
    else:
        fail("the coverage cannot be reached with Down")
    key("Return")
    wait_for("the choices", lambda: find(window.root, Atspi.Role.LIST_ITEM, wanted))
    key(letter)
    wait_for(wanted + " chosen", lambda: window.focus_name() == wanted)
    key("Return")
    wait_for("the new tag on screen", lambda: window.tag("Coverage") == wanted)
    token = wanted.lower().replace(" ", "-")
    wait_for("the new tag on disk", lambda: stored_coverage(library, snap) == token)
    key("ctrl+z")
    wait_for("undo", lambda: stored_coverage(library, snap) == before)
    wait_for("undo on screen", lambda: window.tag("Coverage") != wanted)
    key("ctrl+shift+z")
    wait_for("redo", lambda: stored_coverage(library, snap) == token)
    key("ctrl+z")
    wait_for("undo again", lambda: stored_coverage(library, snap) == before)


def first_listed(window):
    """The first of the snaps behind a figure, as it is spoken."""
    snaps = find(window.root, Atspi.Role.LIST, "Snaps")
    row = find(snaps, Atspi.Role.LIST_ITEM) if snaps is not None else None
    return row.get_name() if row is not None else ""


def check_pairings(window):
    """From the table to the ladder, the playing snap and back to the pairing: four keys."""
    key("ctrl+3")
    wait_for("the table", lambda: window.has_desk("Pairings") and
             find(window.root, name="Pairing table"))
    wait_for("the snaps", lambda: first_listed(window))
    table = find(window.root, name="Pairing table")
    was = table.get_description()
    key("Right")
    wait_for("another pairing", lambda: find(
        window.root, name="Pairing table").get_description() != was)
    key("Left")
    wait_for("the pairing again", lambda: find(
        window.root, name="Pairing table").get_description() == was)
    key("Return")
    wait_for("the ladder", lambda: window.focus_name() == "Ladder of the pairing")
    key("Return")
    wait_for("the list of snaps", lambda: window.focus_name() == first_listed(window))
    number = first_listed(window).split(",")[0]
    key("Return")
    wait_for("Chart", lambda: window.has_desk("Chart"))
    wait_for(number, lambda: find(window.root, Atspi.Role.LABEL, number))
    key("ctrl+3")
    wait_for("the table again", lambda: window.has_desk("Pairings"))
    wait_for("the same pairing", lambda: find(
        window.root, name="Pairing table").get_description() == was)


def check_quarterback(window):
    """From his costliest habit to a playing snap of it, by Enter alone."""
    key("ctrl+4")
    wait_for("his habits", lambda: " of " in window.focus_name() and
             ": " not in window.focus_name())
    key("Return")
    wait_for("the habit's snaps", lambda: window.focus_name().startswith("Snap "))
    number = window.focus_name().split(",")[0]
    key("Return")
    wait_for("Chart again", lambda: window.has_desk("Chart"))
    wait_for(number, lambda: find(window.root, Atspi.Role.LABEL, number))


def check_cutups(window, library, folder):
    """A cut-up made of a part of the ladder, ordered, run and exported, by keyboard alone."""
    key("ctrl+3")
    wait_for("the table", lambda: window.has_desk("Pairings"))
    key("Home", "Prior")
    wait_for("all dropbacks", lambda: find(window.root, starts="All concepts against"))
    key("Return")
    wait_for("the ladder", lambda: window.focus_name() == "Ladder of the pairing")
    key("c")
    wait_for("Cut-ups", lambda: window.has_desk("Cut-ups"))
    made = wait_for("the cut-up", lambda: cli("cutup", "list", library, "--json")["cutups"])
    name = made[0]["name"]
    if made[0]["clips"] < 100:
        fail("the cut-up has %d clips" % made[0]["clips"])

    def clips():
        return cli("cutup", "show", library, name, "--json")["clips"]

    before = clips()
    wait_for("the first clip", lambda: window.focus_name().startswith("1. "))
    key("alt+Down")
    wait_for("the clips in another order",
             lambda: [c["snap"] for c in clips()][:2] == [before[1]["snap"], before[0]["snap"]])
    key("ctrl+z")
    wait_for("the old order", lambda: [c["snap"] for c in clips()] == [c["snap"] for c in before])
    filmed = next(clip for clip in before if clip["missing"] is None)
    wait_for("the list again", lambda: window.focus_name()[:3] in ("1. ", "2. "))
    nameless = window.nameless()
    if nameless:
        fail("Cut-ups desk: controls without a name: " + ", ".join(nameless))
    key("Return")
    wait_for("the film to run",
             lambda: (window.frame() or 0) > filmed["first"] + 5)
    key("k")
    target = os.path.join(folder, "out.mp4")
    key("e")
    wait_for("the place to export to",
             lambda: window.focus_name() == "File or folder to export to")
    key("ctrl+a")
    subprocess.run(["xdotool", "type", "--delay", "15", target], check=True)
    key("Return")
    wait_for("the exported film", lambda: os.path.exists(target))
    probe = subprocess.run(
        ["ffprobe", "-v", "error", "-count_packets", "-select_streams", "v", "-show_entries",
         "stream=nb_read_packets", "-of", "csv=p=0", target],
        check=True, capture_output=True, text=True)
    if int(probe.stdout) != filmed["last"] - filmed["first"] + 1:
        fail("the export has %s frames" % probe.stdout.strip())


def check_drawer(window):
    """The snaps narrowed to words, one of them opened, the history in words: by keyboard."""
    key("ctrl+1")
    wait_for("Chart", lambda: window.has_desk("Chart"))
    key("ctrl+l")
    wait_for("the place to narrow", lambda: window.focus_name() == "Narrow the list of snaps")
    whole = wait_for("all snaps of the game", lambda: counted_snaps(window))
    subprocess.run(["xdotool", "type", "--delay", "15", "cover 3"], check=True)
    wait_for("fewer snaps", lambda: 0 < counted_snaps(window) < whole)
    key("Return", "Down")
    wait_for("a chosen row", lambda: find(window.root, starts="%d snaps, 1 chosen"
                                          % counted_snaps(window)))
    before = sheet_snap(window)
    key("Return")
    wait_for("the film of the chosen snap", lambda: sheet_snap(window) != before)
    nameless = window.nameless()
    if nameless:
        fail("the drawer: controls without a name: " + ", ".join(nameless))
    key("ctrl+m")
    wait_for("what is open", lambda: find(window.root, Atspi.Role.LIST, "Still open"))
    key("ctrl+h")
    wait_for("the coverage in the history", lambda: find(
        find(window.root, Atspi.Role.LIST, "History"), Atspi.Role.LIST_ITEM))
    lines = [node.get_name() for node in nodes(find(window.root, Atspi.Role.LIST, "History"))
             if node.get_role() == Atspi.Role.LIST_ITEM]
    if not any(", by " in line and "overage" in line and line.endswith("(undone)")
               for line in lines):
        fail("the history does not tell of the coverage taken back: %s" % lines)
    key("Escape")
    wait_for("the drawer away", lambda: find(window.root, Atspi.Role.LIST, "History") is None)
    key("ctrl+l")  # the window is closed with it open
    wait_for("the drawer again", lambda: counted_snaps(window))


def counted_snaps(window):
    """The number of snaps the drawer lists, as it says it."""
    for node in nodes(window.root):
        words = (node.get_name() or "").split()
        if len(words) == 4 and words[1] in ("snap,", "snaps,") and words[3] == "chosen":
            return int(words[0])
    return 0


def sheet_snap(window):
    """The snap whose sheet is shown: "Snap 5"."""
    for node in nodes(window.root):
        words = (node.get_name() or "").split()
        if node.get_role() == Atspi.Role.LABEL and len(words) == 2 and words[0] == "Snap":
            return words[1]
    return None


def main():
    folder = tempfile.TemporaryDirectory(prefix="rb-e2e-")
    library = os.path.join(folder.name, "season.readbreak")
    subprocess.run([CLI, "demo", library, "--film-snaps", "1"], check=True,
                   stdout=subprocess.DEVNULL)
    with open(os.path.join(folder.name, "truth.json"), encoding="utf-8") as file:
        truth = next(snap for snap in json.load(file)["snaps"] if "film" in snap)
    environment = dict(os.environ, GTK_A11Y="atspi", GDK_BACKEND="x11",
                       GSK_RENDERER="cairo", XDG_CACHE_HOME=folder.name,
                       NO_AT_BRIDGE="0")
    program = subprocess.Popen([PROGRAM, library], env=environment)
    try:
        window = Window(wait_for("the window", the_application))
        identity = subprocess.run(
            ["xdotool", "search", "--sync", "--onlyvisible", "--name", "Readbreak"],
            check=True, capture_output=True, text=True).stdout.split()[0]
        subprocess.run(["xdotool", "windowfocus", "--sync", identity], check=True)
        wait_for("the Chart desk", lambda: window.has_desk("Chart"))
        check_film(window, truth)
        check_desks(window)
        check_tag(window, library, truth["snap"])
        check_pairings(window)
        check_cutups(window, library, folder.name)
        check_quarterback(window)
        check_drawer(window)
        key("ctrl+q")
        if program.wait(timeout=PATIENCE_S) != 0:
            fail("the program ended with %d" % program.returncode)
    finally:
        if program.poll() is None:
            program.kill()
        folder.cleanup()
    print("The window: film, desks, tags, pairings, quarterback, drawer by keyboard: all as expected.")


main()
