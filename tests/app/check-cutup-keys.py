# SPDX-License-Identifier: GPL-3.0-or-later
"""A cut-up made in the real window of a part of the ladder, named, edited clip by clip, ordered,
run and exported, by keyboard alone; and a clip dragged by the mouse."""
import os
import sqlite3
import subprocess
import time

from window import cli, demo, fail, key, mouse, opened, step, wait_for, write

NAME = "Monday"


class Cutup:
    """What the library holds of the only cut-up, read beside the window."""

    def __init__(self, library):
        self.library, self.id = library, None

    def listed(self):
        return cli("cutup", "list", self.library, "--json")["cutups"]

    def clips(self):
        self.id = self.id or self.listed()[0]["id"]
        return cli("cutup", "show", self.library, self.id, "--json")["clips"]

    def snaps(self):
        return [clip["snap"] for clip in self.clips()]


def filmed_part(library):
    """The part of the ladder, as its words, where the snap with film stands, and how many parts of
    earlier reads come before it."""
    with sqlite3.connect(library) as database:
        snap, = database.execute("SELECT snap FROM clip WHERE film <> 0 LIMIT 1").fetchone()
    verdicts = [v for v in cli("verdicts", library, "--json")["verdicts"] if v["counts"]]
    one = next(v for v in verdicts if v["snap"] == str(snap))
    before = {(v["stage_read"], v["stage"]) for v in verdicts
              if v["stage_read"] < one["stage_read"]}
    return "Read %d, %s: " % (one["stage_read"], one["stage"].capitalize()), len(before)


def make_of_ladder(window, cutup):
    """The part that has film becomes a cut-up of as many clips as the ladder says."""
    part, before = filmed_part(cutup.library)
    key("ctrl+3")
    wait_for("the table", lambda: window.has_desk("Pairings"))
    key("Home", "Prior")
    wait_for("all dropbacks", lambda: window.find(starts="All concepts against"))
    key("Return")
    wait_for("the ladder", lambda: window.focus_name() == "Ladder of the pairing")
    key(*["Down"] * before)
    said = ""
    while not said.startswith(part):
        last = said
        key("Down")
        wait_for("the next part of the ladder", lambda: window.described(
            "Ladder of the pairing") not in ("", last))
        said = window.described("Ladder of the pairing")
    number = int(said[len(part):].split()[0])
    key("c")
    wait_for("Cut-ups", lambda: window.has_desk("Cut-ups"))
    made = wait_for("the cut-up", cutup.listed)[0]
    if (made["clips"], made["kind"]) != (number, "fixed"):
        fail("the ladder says %d, the cut-up is %s" % (number, made))
    wait_for("the first clip", lambda: window.focus_name().startswith("1. "))
    return number


def check_name_and_kind(window, cutup, number):
    """F2 names it; Tab leaves the clips; a list that follows its filter has the same clips."""
    key("F2")
    wait_for("the name", lambda: window.focus_name() == "Name of the cut-up")
    key("ctrl+a")
    write(NAME)
    key("Return")
    wait_for("the new name", lambda: cutup.listed()[0]["name"] == NAME)
    wait_for("the list again", lambda: window.focus_name().startswith("1. "))
    key("shift+Tab")
    wait_for("out of the list", lambda: not window.focus_name().startswith("1. "))
    key("Down")
    wait_for("a list that follows", lambda: cutup.listed()[0]["kind"] == "live")
    if cutup.listed()[0]["clips"] != number:
        fail("as a list that follows it has %d clips" % cutup.listed()[0]["clips"])
    key("Up")
    wait_for("a list that is fixed", lambda: cutup.listed()[0]["kind"] == "fixed")
    key("Tab")
    wait_for("the list again", lambda: window.focus_name().startswith("1. "))


def check_editor(window, cutup):
    """Speed, card and note of the first clip, by keyboard; the same for all, and undone. Each field
    has a key of its own."""
    key("Home")
    wait_for("the first clip", lambda: window.focus_name().startswith("1. "))
    key("alt+s", "ctrl+a")
    write("50")
    key("Return")
    wait_for("half the speed", lambda: cutup.clips()[0]["speed"] == 50)
    key("alt+c")
    wait_for("the words of the card", lambda: window.focus_name() == "Game")
    key("space")
    wait_for("a card with the game", lambda: cutup.clips()[0]["card"] == "game")
    key("Escape")
    wait_for("out of the words", lambda: window.focus_name().startswith("Title card"))
    key("alt+n")
    wait_for("the note's field", lambda: window.focus_name() == "Note")
    write("hips")
    key("Return")
    wait_for("the note", lambda: cutup.clips()[0]["note"] == "hips")
    key("alt+l")
    wait_for("all alike", lambda: all(c["speed"] == 50 and c["card"] == "game"
                                      for c in cutup.clips()))
    key("ctrl+z")
    wait_for("each its own again", lambda: cutup.clips()[1]["card"] is None)
    for letters in ("alt+f", "alt+t", "alt+a", "alt+n"):
        key(letters)
    wait_for("the note again", lambda: window.focus_name() == "Note")
    key("Escape")


def standing_rows(window):
    """The middles of rows 1 and 3, once the list is not being filled anew."""
    rows = [window.find(starts=number) for number in ("1. ", "3. ")]
    time.sleep(0.3)
    again = [window.find(starts=number) for number in ("1. ", "3. ")]
    if None in rows + again or [r.path for r in rows] != [r.path for r in again]:
        return None
    return [window.middle(row) for row in rows]


def check_order(window, cutup):
    """The first clip moved by keyboard, then dragged onto the third; each undone."""
    before = cutup.snaps()
    first, third = wait_for("a list that stands", lambda: standing_rows(window))
    mouse("mousemove", *first, "mousedown", 1)
    for part in (1, 2, 3, 4):
        mouse("mousemove", first[0] + part, first[1] + (third[1] - first[1]) * part // 4)
        time.sleep(0.05)
    mouse("mouseup", 1)
    wait_for("the clip dragged", lambda: cutup.snaps()[:3] == [before[1], before[2], before[0]])
    key("ctrl+z")
    wait_for("the clip back", lambda: cutup.snaps() == before)
    wait_for("the list again", lambda: window.focus_name()[:3] in ("1. ", "2. ", "3. "))
    key("Home")
    wait_for("the first clip", lambda: window.focus_name().startswith("1. "))
    key("alt+Down")
    wait_for("the second place", lambda: cutup.snaps()[:2] == [before[1], before[0]])
    key("ctrl+z")
    wait_for("the old order", lambda: cutup.snaps() == before)
    wait_for("the list again", lambda: window.focus_name()[:3] in ("1. ", "2. "))


def check_run_and_export(window, cutup, folder):
    filmed = next(clip for clip in cutup.clips() if clip["missing"] is None)
    key("Return")
    wait_for("the film to run",
             lambda: (window.frame() or 0) > filmed["first"] + 5)
    key("k")
    target = os.path.join(folder, "out.mp4")
    with open(target, "w", encoding="utf-8") as file:
        file.write("old")
    key("e")
    wait_for("the place to export to",
             lambda: window.focus_name() == "File or folder to export to")
    key("ctrl+a")
    write(target)
    key("Return")
    wait_for("the question", lambda: window.find(starts='There is a file "out.mp4" already'))
    key("Return")
    wait_for("the exported film", lambda: os.path.getsize(target) > 3)
    probe = subprocess.run(
        ["ffprobe", "-v", "error", "-count_packets", "-select_streams", "v", "-show_entries",
         "stream=nb_read_packets", "-of", "csv=p=0", target],
        check=True, capture_output=True, text=True)
    if int(probe.stdout) != filmed["last"] - filmed["first"] + 1:
        fail("the export has %s frames" % probe.stdout.strip())


def main():
    with demo(film_snaps=1) as folder:
        cutup = Cutup(os.path.join(folder, "season.readbreak"))
        step("a demo library")
        with opened(cutup.library) as window:
            wait_for("the Chart desk", lambda: window.has_desk("Chart"))
            number = make_of_ladder(window, cutup)
            window.expect_names("Cut-ups desk")
            step("made of a part of the ladder")
            check_name_and_kind(window, cutup, number)
            step("named, followed, fixed")
            check_order(window, cutup)
            step("ordered by keyboard and by drag")
            check_editor(window, cutup)
            step("set clip by clip, and all alike")
            check_run_and_export(window, cutup, folder)
            step("run and exported")
            window.close()


main()
