# SPDX-License-Identifier: GPL-3.0-or-later
"""The table of snaps, two charts and a person's own keys in the real window, by keyboard alone."""
import json
import os
import sqlite3
import time

from window import (Role, choose_coverage, cli, counted_snaps, demo, fail, key, opened, sheet_snap, step,
                    stored_coverage, wait_for, write)


def coverages(library):
    return {row["snap"]: row["tags"].get("coverage")
            for row in cli("snaps", library, "--json")["snaps"]}


def changed(before, after):
    return {snap: value for snap, value in after.items() if before[snap] != value}


# One of them is on no snap of the game.
NEW_COVERAGES = [("Drop eight", "drop-eight"), ("Goal-line man", "goal-line-man"),
                 ("Tampa 2", "tampa-2"), ("Fire zone", "fire-zone")]


def check_edit(window, library, snap):
    """One cell changed in place, then two chosen snaps at once: each one action, taken back by one
    key, wherever the focus is."""
    before = coverages(library)
    rows = cli("snaps", library, "--json")["snaps"]
    game = next(row["game"] for row in rows if row["snap"] == snap)
    whole = sum(1 for row in rows if row["game"] == game)
    has = {row["tags"].get("coverage") for row in rows if row["game"] == game}
    label, token = next(pair for pair in NEW_COVERAGES if pair[1] not in has)
    key("Escape")
    wait_for("the drawer away", lambda: not counted_snaps(window))
    key("ctrl+l")
    wait_for("the place to narrow", lambda: window.focus_name() == "Narrow the list of snaps")
    key("ctrl+a")
    write("cover 3")
    wait_for("snaps of one coverage", lambda: 0 < counted_snaps(window) < whole)
    fewer = counted_snaps(window)
    key("Return", "Down")
    wait_for("one chosen", lambda: window.find(starts="%d snaps, 1 chosen" % fewer))
    window.tab_to("Coverage of snap")
    key("F2", "ctrl+a")
    write(label)
    key("Return")
    wait_for("one coverage changed", lambda: list(
        changed(before, coverages(library)).values()) == [token])
    key("ctrl+z")
    wait_for("the cell as it was", lambda: coverages(library) == before)
    # The table took new values twice: the focus never left the cell.
    wait_for("the focus in the cell", lambda: window.focus_name().startswith("Coverage of snap"))
    key("Escape", "ctrl+l")
    wait_for("the place to narrow", lambda: window.focus_name() == "Narrow the list of snaps")
    key("Return", "Down", "shift+Down")
    wait_for("two chosen", lambda: window.find(starts="%d snaps, 2 chosen" % fewer))
    key("Escape", "ctrl+l", "Tab", "Tab")
    wait_for("the value", lambda: window.focus_name() == "Value to set")
    write(label)
    key("Return")
    wait_for(lambda: "both changed, not only %s" % changed(before, coverages(library)),
             lambda: list(changed(before, coverages(library)).values()) == [token, token])
    key("ctrl+z")
    wait_for("both as they were", lambda: coverages(library) == before)


def check_two_charts(window, library, snap):
    """A second member of the staff tags otherwise; the difference is settled side by side."""
    key("ctrl+b")
    wait_for("who charts", lambda: window.focused().parent.name == "Who charts")
    wait_for("nobody else", lambda: window.says("Nobody else has a chart"))
    window.expect_names("two charts")
    key("Tab")
    write("Second Coach")
    key("Return")
    wait_for("the second one", lambda: window.find(Role.LABEL, "Second Coach"))
    cli("tag", library, "--snap", snap, "--as", "Second Coach", "coverage=cover-2", "--json")
    mine = wait_for("the difference", lambda: window.says("Second Coach: Cover 2"))
    other = next(n.name for n in mine.parent.children if n.name.startswith("Graduate"))
    window.tab_to(mine.name)
    key("Return")
    wait_for("settled", lambda: window.says("These two charts do not differ"))
    if stored_coverage(library, snap) != "cover-2":
        fail("settled on %s, and not stored" % mine.name)
    key("ctrl+z")
    wait_for("the difference again", lambda: window.says(other))


def own_coverage(library, snap, person):
    """What that person's own chart says, if there is one."""
    with sqlite3.connect(library) as base:
        found = base.execute(
            "SELECT term.token FROM chart JOIN person ON person.id = chart.author "
            "LEFT JOIN term ON term.id = chart.coverage "
            "WHERE chart.snap = ? AND person.name = ? AND chart.removed = 0",
            (int(snap), person)).fetchone()
    return found[0] if found is not None else None


def tick_blind(window):
    if window.find(name="Who charts") is not None:
        key("Escape")
        wait_for(lambda: "the drawer away, at " + window.focus_name(),
                 lambda: window.find(name="Who charts") is None)
    key("ctrl+b")
    wait_for("who charts", lambda: window.focused().parent.name == "Who charts")
    window.tab_to("Blind")
    key("space")


def check_blind(window, library, shown):
    """A second chart made blind, by keyboard: it starts empty, nothing of the first one is shown, the
    first one stays as it is; with the blind taken off the two are compared."""
    at = int(sheet_snap(window))
    game = next(row["game"] for row in cli("snaps", library, "--json")["snaps"]
                if row["snap"] == shown)
    row = next(row for row in cli("snaps", library, "--json")["snaps"]
               if row["game"] == game and row["number"] > at and row["tags"].get("coverage"))
    snap, first = row["snap"], row["tags"]["coverage"]
    wanted, letter = ("Cover 2", "2") if first != "cover-2" else ("Cover 3", "3")
    tick_blind(window)
    wait_for("nothing of the others", lambda: window.says("A blind chart shows nothing"))
    key("Escape")
    wait_for("the drawer away", lambda: not window.says("A blind chart shows nothing"))
    for number in range(at + 1, row["number"] + 1):
        key("n")
        wait_for("snap %d" % number, lambda number=number: sheet_snap(window) == str(number))
    key("g")
    wait_for("an empty chart", lambda: window.tag("Coverage") == "unknown")
    if window.says("The chart of Graduate assistant"):
        fail("the blind one is told whose chart it is")
    choose_coverage(window, wanted, letter)
    token = wanted.lower().replace(" ", "-")
    wait_for("the second chart on disk", lambda: own_coverage(
        library, snap, "Second Coach") == token)
    if own_coverage(library, snap, "Graduate assistant") != first:
        fail("the first chart is another now")
    tick_blind(window)
    wait_for("the difference", lambda: window.says("Snap %d, Coverage" % row["number"]))


def keys_row(window, starts):
    row = window.root().find(name="Keys")
    return row.find(starts=starts) if row is not None else None


def check_own_keys(window):
    """A key changed, refused where it conflicts, used, told by the button, and brought back."""
    key("Escape", "shift+F1")
    window.focus("^Keys$")
    wait_for("the keys", lambda: keys_row(window, "Next snap: N"))
    window.expect_names("the keys", "Keys")
    window.tab_to("Find a key", "Keys", "shift+Tab")
    write("next snap")
    time.sleep(1)  # a search waits until nothing is typed any more, and takes rows away then
    window.tab_to("Next snap", "Keys")
    key("Return", "p")
    wait_for("why not", lambda: any("Snap before" in node.name and not node.name.startswith("Snap")
                                    for node in window.root().find(name="Keys").all()))
    key("Return", "y")
    wait_for("the new key", lambda: keys_row(window, "Next snap: Y, changed"))
    key("Escape")
    window.focus("Readbreak")
    wait_for("the button tells it", lambda: window.described("Next snap") == "Next snap (Y)")
    key("r")
    was = sheet_snap(window)
    key("y")
    wait_for("the next snap", lambda: sheet_snap(window) not in (was, None))
    key("shift+F1")
    window.focus("^Keys$")
    wait_for("the keys again", lambda: keys_row(window, "Next snap: Y"))
    window.tab_to("Find a key", "Keys", "shift+Tab")
    write("next snap")
    time.sleep(1)  # a search waits until nothing is typed any more, and takes rows away then
    window.tab_to("Next snap", "Keys")
    key("Delete")
    wait_for("its own key again", lambda: keys_row(window, "Next snap: N"))
    key("Escape")
    window.focus("Readbreak")


def main():
    with demo(film_snaps=1) as folder:
        library = os.path.join(folder, "season.readbreak")
        with open(os.path.join(folder, "truth.json"), encoding="utf-8") as file:
            snap = next(snap["snap"] for snap in json.load(file)["snaps"] if "film" in snap)
        step("a demo library")
        with opened(library) as window:
            wait_for("the snap", lambda: sheet_snap(window))
            check_edit(window, library, snap)
            step("a cell and two snaps changed")
            check_two_charts(window, library, snap)
            step("two charts settled")
            check_blind(window, library, snap)
            step("a blind chart, then compared")
            check_own_keys(window)
            step("a key of one's own")
            window.close()


main()
