# SPDX-License-Identifier: GPL-3.0-or-later
"""The desks of the real window by keyboard alone: a tag changed, taken back and made again; from
the pairing table to a playing snap and back; from a quarterback's habit to its snaps; the drawer.
Every control that can be reached has a name."""
import json
import os

from window import (Role, choose_coverage, cli, counted_snaps, demo, fail, key, opened, sheet_snap, step,
                    stored_coverage, wait_for, write)


def check_desks(window):
    for number, label in ((2, "Playbook"), (3, "Pairings"), (4, "Quarterback"),
                          (5, "Cut-ups"), (1, "Chart")):
        key("ctrl+%d" % number)
        wait_for(label + " desk", lambda label=label: window.has_desk(label))
        window.expect_names(label + " desk")
    step("five desks, every control named")


def check_tag(window, library, snap):
    """A tag changed by keyboard alone is stored, undone and redone."""
    before = stored_coverage(library, snap)
    wanted, letter = ("Cover 3", "3") if before != "cover-3" else ("Cover 2", "2")
    choose_coverage(window, wanted, letter)
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
    snaps = window.find(Role.LIST, "Snaps")
    row = snaps.find(Role.LIST_ITEM) if snaps is not None else None
    return row.name if row is not None else ""


def make_first(library, snaps):
    """Gives the snap with film a coverage that its concept never met, so that it is the first
    snap of its pairing. Returns it."""
    filmed = next(snap for snap in snaps if "film" in snap)
    met = {snap["coverage"] for snap in snaps if snap["concept"] == filmed["concept"]}
    filmed["coverage"] = next(token for token in ("cover-2", "cover-0", "cover-1")
                              if token not in met)
    cli("tag", library, "--snap", filmed["snap"], "coverage=" + filmed["coverage"], "--json")
    return filmed


def choose_pairing(window, snap):
    """Goes by arrow keys to the pairing of a snap."""
    def is_at(start):
        said = window.described("Pairing table").lower().replace(" ", "-")
        return said.startswith(start)

    def go(name, start):
        for _ in range(30):
            if is_at(start):
                return
            was = window.described("Pairing table")
            key(name)
            wait_for("the next pairing", lambda: window.described("Pairing table") != was)
        fail("no pairing starts with " + start)

    key("Home", "Page_Up")
    wait_for("the corner", lambda: is_at("all-concepts") or window.described("Pairing table"))
    go("Down", snap["concept"] + "-against-")
    go("Right", "%s-against-%s:" % (snap["concept"], snap["coverage"]))


def check_pairings(window, filmed):
    """From the table to the ladder, the snap as it plays and back to the pairing: six keys at
    most."""
    pressed = []

    def step(name):
        pressed.append(name)
        key(name)

    key("ctrl+3")
    wait_for("the table", lambda: window.has_desk("Pairings") and
             window.find(name="Pairing table"))
    wait_for("the snaps", lambda: first_listed(window))
    wait_for("a snap told to be without film", lambda: "No film" in first_listed(window))
    choose_pairing(window, filmed)
    was = window.described("Pairing table")
    step("Return")
    wait_for("the ladder", lambda: window.focus_name() == "Ladder of the pairing")
    step("Return")
    wait_for("the list of snaps", lambda: window.focus_name() == first_listed(window))
    number = "Snap %d" % filmed["number"]
    if not first_listed(window).startswith(number + ","):
        fail("the first snap of the pairing is " + first_listed(window))
    if "No film" in first_listed(window):
        fail("film is denied: " + first_listed(window))
    step("Return")
    wait_for("Chart", lambda: window.has_desk("Chart"))
    wait_for(number, lambda: window.find(Role.LABEL, number))
    first = wait_for("its film", lambda: window.frame())
    step("space")
    wait_for("the film to play", lambda: window.frame() > first + 3)
    step("ctrl+3")
    wait_for("the table again", lambda: window.has_desk("Pairings"))
    wait_for("the same pairing", lambda: window.described("Pairing table") == was)
    assert len(pressed) <= 6, "too many keys: %s" % pressed


def check_quarterback(window):
    """From his costliest habit to a playing snap of it, by Enter alone."""
    key("ctrl+4")
    wait_for(lambda: "his habits, at " + window.focus_name(),
             lambda: " of " in window.focus_name() and ": " not in window.focus_name())
    key("Return")
    wait_for("the habit's snaps", lambda: window.focus_name().startswith("Snap "))
    number = window.focus_name().split(",")[0]
    key("Return")
    wait_for("Chart again", lambda: window.has_desk("Chart"))
    wait_for(number, lambda: window.find(Role.LABEL, number))


def check_drawer(window):
    """The snaps narrowed to words, one of them opened, the history in words: by keyboard."""
    key("ctrl+1")
    wait_for("Chart", lambda: window.has_desk("Chart"))
    key("ctrl+l")
    wait_for("the place to narrow", lambda: window.focus_name() == "Narrow the list of snaps")
    whole = wait_for("all snaps of the game", lambda: counted_snaps(window))
    write("cover 3")
    wait_for("fewer snaps", lambda: 0 < counted_snaps(window) < whole)
    key("Return", "Down")
    wait_for("a chosen row", lambda: window.find(starts="%d snaps, 1 chosen"
                                          % counted_snaps(window)))
    before = sheet_snap(window)
    key("Return")
    wait_for("the film of the chosen snap", lambda: sheet_snap(window) != before)
    window.expect_names("the drawer")
    key("ctrl+m")
    wait_for("what is open", lambda: window.find(Role.LIST, "Still open"))
    key("ctrl+h")
    lines = wait_for("the history", lambda: [
        node.name for node in window.find(Role.LIST, "History").all()
        if node.role == Role.LIST_ITEM])
    if not any(", by " in line and "overage" in line and line.endswith("(undone)")
               for line in lines):
        fail("the history does not tell of the coverage taken back: %s" % lines)
    key("Escape")
    wait_for("the drawer away", lambda: not window.find(Role.LIST, "History"))
    key("ctrl+l")  # the window is closed with it open
    wait_for("the drawer again", lambda: counted_snaps(window))


def main():
    with demo(film_snaps=1) as folder:
        library = os.path.join(folder, "season.readbreak")
        with open(os.path.join(folder, "truth.json"), encoding="utf-8") as file:
            snaps = json.load(file)["snaps"]
        filmed = make_first(library, snaps)
        step("a demo library")
        with opened(library) as window:
            wait_for("the Chart desk", lambda: window.has_desk("Chart"))
            check_desks(window)
            check_tag(window, library, filmed["snap"])
            step("a tag changed, taken back and made again")
            check_pairings(window, filmed)
            step("from the table to a snap and back")
            check_quarterback(window)
            step("from a habit to its snaps")
            check_drawer(window)
            step("the drawer")
            window.close()


main()
