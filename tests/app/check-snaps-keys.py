# SPDX-License-Identifier: GPL-3.0-or-later
"""The table of snaps, by keyboard alone unless it says so: sorted, chosen snaps to a new cut-up and to
one that is there, and lists that keep the keyboard while they are filled anew."""
import os
import sqlite3

from window import (Role, cli, counted_snaps, demo, fail, key, mouse, opened, sheet_snap, step,
                    wait_for, write)

FIRST, SECOND = "Cut-up of the night", "Once more"


def cell(window, starts):
    """The focused cell's snap, when it is of that column."""
    name = window.focus_name()
    return int(name.split(" of snap ")[1].split(":")[0]) if name.startswith(starts) else None


def open_table(window):
    key("ctrl+l")
    wait_for("the place to narrow", lambda: window.focus_name() == "Narrow the list of snaps")
    wait_for("the snaps", lambda: counted_snaps(window))
    key("Return", "Down")
    wait_for("one chosen", lambda: window.find(starts="%d snaps, 1 chosen"
                                               % counted_snaps(window)))


def check_sorting(window, library):
    """Shift+S sorts by the column of the cell and by the same once more the other way; the snap with
    the keyboard keeps it."""
    gains = {row["number"]: int(row["tags"]["gain"]) for row in shown_rows(window, library)
             if row["tags"].get("gain")}
    window.tab_to("Gain of snap")
    here = cell(window, "Gain of snap")
    key("shift+s")
    wait_for("sorted by gain", lambda: window.described("Snaps of the game") ==
             "Sorted by Gain, from first to last")
    wait_for(lambda: "the same cell, at " + window.focus_name(),
             lambda: cell(window, "Gain of snap") == here)
    key("shift+s")
    wait_for("the other way", lambda: window.described("Snaps of the game") ==
             "Sorted by Gain, from last to first")
    wait_for(lambda: "the same cell, at " + window.focus_name(),
             lambda: cell(window, "Gain of snap") == here)
    key("shift+s")
    wait_for("as before", lambda: window.described("Snaps of the game") ==
             "Sorted by Gain, from first to last")
    key("Home")
    least = min(gains.values())
    wait_for(lambda: "the greatest loss first, at " + window.focus_name(),
             lambda: gains.get(number_of(window.focus_name())) == least)
    key("Escape")


def number_of(name):
    return int(name.split(" of snap ")[1].split(":")[0]) if " of snap " in name else None


def shown_rows(window, library):
    """The snaps of the game that the window shows, as the command line tells them."""
    game = window.find(Role.COMBO_BOX, "Game") or fail("no game is shown")
    titles = {node.name for node in game.all()}
    with sqlite3.connect(library) as database:
        ids = [str(id) for id, title in database.execute("SELECT id, title FROM game")
               if title in titles]
    if len(ids) != 1:
        fail("games of %s: %s" % (titles, ids))
    return [row for row in cli("snaps", library, "--json")["snaps"] if row["game"] == ids[0]]


def snaps_of(library, name):
    listed = {one["name"]: one["id"] for one in cli("cutup", "list", library, "--json")["cutups"]}
    if name not in listed:
        return None
    return [clip["snap"] for clip in cli("cutup", "show", library, listed[name], "--json")["clips"]]


def check_new(window, library):
    """Two chosen snaps become a new cut-up; without a name they don't, and it says why."""
    open_table(window)
    key("shift+Down")
    wait_for("two chosen", lambda: window.find(starts="%d snaps, 2 chosen" % counted_snaps(window)))
    was = window.focus_name()
    key("c")
    wait_for("its name", lambda: window.focus_name() == "Name of a new cut-up")
    if not window.says("A cut-up of 2 snaps"):
        fail("it does not say of how many snaps")
    key("ctrl+a", "BackSpace", "Return")
    wait_for("why not", lambda: window.says("A cut-up needs a name"))
    write(FIRST)
    key("Return")
    made = wait_for("the cut-up", lambda: snaps_of(library, FIRST))
    if len(made) != 2:
        fail("it has %d clips" % len(made))
    wait_for("told", lambda: window.says('Cut-up "%s" made of 2 snaps' % FIRST))
    wait_for("the keyboard back in the table", lambda: window.focus_name() == was)
    return made


def check_add(window, library, made):
    """The next snap goes behind the clips of the one that is there; undone and redone by key."""
    key("Down")
    wait_for("one chosen", lambda: window.find(starts="%d snaps, 1 chosen" % counted_snaps(window)))
    key("c")
    wait_for("its name", lambda: window.focus_name() == "Name of a new cut-up")
    wait_for("the other cut-ups", lambda: window.find(Role.LIST_ITEM, "Add to " + FIRST))
    window.tab_to("Add to " + FIRST)
    key("Return")
    wait_for("three clips", lambda: len(snaps_of(library, FIRST)) == 3)
    if snaps_of(library, FIRST)[:2] != made:
        fail("the new clip is not behind the others")
    key("ctrl+z")
    wait_for("undone", lambda: snaps_of(library, FIRST) == made)
    key("ctrl+shift+z")
    wait_for("redone", lambda: len(snaps_of(library, FIRST)) == 3)
    key("c")
    wait_for("its name", lambda: window.focus_name() == "Name of a new cut-up")
    key("Escape")
    wait_for("nothing asked", lambda: window.focus_name() != "Name of a new cut-up")
    if len(snaps_of(library, FIRST)) != 3:
        fail("Escape added a clip")


def check_mouse(window, library):
    """By mouse, of all the snaps that are listed; in the order of the table."""
    key("Escape")
    key("ctrl+l")
    wait_for("the place to narrow", lambda: window.focus_name() == "Narrow the list of snaps")
    whole = counted_snaps(window)
    key("ctrl+a")
    write("cover 3")
    few = wait_for("fewer snaps", lambda: counted_snaps(window) < whole and counted_snaps(window))
    press(window, "To a cut-up…")
    wait_for("its name", lambda: window.focus_name() == "Name of a new cut-up")
    key("ctrl+a")
    write(SECOND)
    key("Return")
    wait_for("the second cut-up", lambda: len(snaps_of(library, SECOND) or []) == few)
    key("ctrl+5")
    wait_for("the Cut-ups desk", lambda: window.has_desk("Cut-ups"))
    wait_for("it is the one shown", lambda: window.find(Role.LABEL, SECOND))
    key("ctrl+1")
    wait_for("Chart", lambda: window.has_desk("Chart"))


def press(window, label):
    button = wait_for(label, lambda: window.find(Role.PUSH_BUTTON, label))
    mouse("mousemove", *window.middle(button), "click", 1)


def check_lists(window, library):
    """Another one writes while the keyboard is in the history and in what is still open: the lines are
    new, and Down still goes on from the same line."""
    snap = next(row["snap"] for row in shown_rows(window, library) if row["tags"].get("coverage"))
    key("ctrl+h")
    wait_for("the history", lambda: window.find(Role.LIST, "History"))
    key("Down")
    wait_for("a line", lambda: ", by " in window.focus_name())
    key("Down")
    was = wait_for("the next line", lambda: ", by " in window.focus_name() and window.focus_name())
    cli("tag", library, "--snap", snap, "coverage=-", "--json")
    wait_for("the new line", lambda: any("overage of snap" in node.name for node in
                                         window.find(Role.LIST, "History").all()))
    if window.focus_name() != was:
        fail("the keyboard went from %s to %s" % (was, window.focus_name()))
    key("Down")
    wait_for("the line after it", lambda: window.focus_name() != was and
             ", by " in window.focus_name())
    key("ctrl+m")
    wait_for("what is open", lambda: window.find(Role.LIST, "Still open"))
    key("Down")
    line = wait_for("an open end", lambda: "nap" in window.focus_name() and window.focus_name())
    count = len(list(window.find(Role.LIST, "Still open").all()))
    cli("tag", library, "--snap", snap, "coverage=cover-2", "--json")
    wait_for("another list", lambda: len(list(window.find(Role.LIST, "Still open").all())) != count
             or window.focus_name() != line)
    wait_for("the keyboard in the list", lambda: window.focused().parent.name == "Still open" or
             window.focused().name == "Still open")
    key("Escape")


def main():
    with demo() as folder:
        library = os.path.join(folder, "season.readbreak")
        with opened(library) as window:
            wait_for("the snap", lambda: sheet_snap(window))
            open_table(window)
            check_sorting(window, library)
            step("sorted by a key")
            made = check_new(window, library)
            step("a new cut-up of chosen snaps")
            check_add(window, library, made)
            step("added to one that is there")
            check_mouse(window, library)
            step("by mouse, of all that are listed")
            check_lists(window, library)
            step("lists keep the keyboard")
            window.close()


main()
