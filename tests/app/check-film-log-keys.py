# SPDX-License-Identifier: GPL-3.0-or-later
"""A library without a game, and a film without a single snap: the game is added and the film logged
by hand in the real window, by keyboard alone: starts, ends and marks while it plays and while it
stands, and the second angle by one key a snap."""
import os
import sqlite3
import subprocess

from window import cli, demo, fail, key, opened, program, step, wait_for, write

GAME = "Film to be logged"


def check_new_game(window, library):
    """From an empty library to the first game."""
    wait_for("no game", lambda: window.says("This library has no game yet"))
    wait_for("the button", lambda: window.focus_name() == "Add a game")
    key("Return")
    window.focus("^New game$")
    wait_for("the new game", lambda: window.focus_name("New game") == "Name")
    window.expect_names("a new game", "New game")
    key("Return")
    wait_for("why not", lambda: window.says("The game has no name yet"))
    write(GAME)
    key("Tab", "ctrl+a")
    write("2026-09-05")
    key("Return")
    wait_for("the game", lambda: rows(library, "SELECT title, played_on FROM game WHERE"
                                      " removed = 0") == [(GAME, "2026-09-05")])
    wait_for("its empty page", lambda: window.says("No snap of this game is logged yet"))
    window.focus("Readbreak")
    key("ctrl+z")
    wait_for("no game again", lambda: window.says("This library has no game yet"))
    key("ctrl+shift+z")
    wait_for("the game again", lambda: window.says("No snap of this game is logged yet"))
    step("a game added, taken back and made again")


def add_films(folder, library):
    """The two films of the game."""
    film = os.path.join(folder, "season film")
    for name in sorted(os.listdir(film), reverse=True):
        path = os.path.join(film, name)
        angle = next((a for a in ("wide", "tight") if name.endswith(" %s.mp4" % a)), None)
        if angle is not None and os.path.isfile(path):
            subprocess.run([program("RB_CLI"), "film", "add", library, path, "--angle", angle,
                            "--game", GAME], check=True, stdout=subprocess.DEVNULL)


def rows(library, sql, *values):
    connection = sqlite3.connect("file:%s?mode=ro" % library, uri=True)
    try:
        return connection.execute(sql, values).fetchall()
    finally:
        connection.close()


def clips(library, angle):
    return rows(library, "SELECT s.number, c.first, c.last FROM clip c JOIN snap s ON s.id = c.snap"
                " WHERE c.removed = 0 AND s.removed = 0 AND c.angle = ? ORDER BY s.number, c.first",
                angle)


def marks(library, angle):
    return rows(library, "SELECT s.number, m.kind, m.frame FROM mark m JOIN clip c ON c.id = m.clip"
                " JOIN snap s ON s.id = c.snap WHERE c.angle = ? AND m.removed = 0 AND c.removed = 0"
                " ORDER BY s.number, m.frame", angle)


def go(window, frame):
    """To a frame by steps, from near it."""
    def there():
        now = window.frame()
        if now is None or now == frame:
            return now == frame
        key(*["Right" if frame > now else "Left"] * min(abs(frame - now), 30))
        wait_for("steps", lambda: window.frame() != now)
        return window.frame() == frame
    wait_for("frame %d" % frame, there)


def check_first(window, library):
    """Two snaps: one while the film plays, one frame by frame."""
    wait_for("the empty game", lambda: window.says("No snap of this game is logged yet"))
    key("shift+F2")
    wait_for("the film", lambda: window.frame() == 0)
    window.expect_names("a film that is logged")
    key("F7")
    wait_for("no end without a start", lambda: window.says("No clip is begun here"))
    key("space")
    wait_for("the film runs", lambda: window.frame() > 5)
    key("F6")
    wait_for("a start", lambda: not window.says("Start: –"))
    began = window.frame()
    wait_for("a little later", lambda: window.frame() > began + 15)
    key("F2")
    wait_for("a snap mark", lambda: not window.says("Snap: –"))
    marked = window.frame()
    wait_for("later still", lambda: window.frame() > marked + 15)
    key("F7")
    wait_for("the clip in words", lambda: window.says("Snap 1 logged"))
    key("k")
    (number, first, last), = clips(library, "wide")
    (_, kind, frame), = marks(library, "wide")
    if number != 1 or kind != "snap" or not 5 < first < frame < last:
        fail("logged while it ran: %d to %d, %s at %d" % (first, last, kind, frame))
    step("a snap logged while the film runs")
    go(window, last + 20)
    key("F6")
    go(window, last + 30)
    key("F2")
    go(window, last + 40)
    key("F4")
    go(window, last + 60)
    key("BackSpace")
    wait_for("the clip given up", lambda: window.says("Start: –"))
    go(window, last + 25)
    key("F6")
    go(window, last + 35)
    key("F2")
    go(window, last + 55)
    key("F4")
    go(window, last + 70)
    key("F7")
    wait_for("the second clip", lambda: window.says("Snap 2 logged"))
    if clips(library, "wide")[1] != (2, last + 25, last + 70) or \
            marks(library, "wide")[1:] != [(2, "snap", last + 35), (2, "release", last + 55)]:
        fail("the second snap: %s %s" % (clips(library, "wide"), marks(library, "wide")))
    go(window, last + 37)
    key("F2")
    wait_for("the snap mark moved", lambda: (2, "snap", last + 37) in marks(library, "wide"))
    step("a snap logged and mended frame by frame")
    return last


def check_second(window, library):
    """The other film: each snap by one key."""
    wide = clips(library, "wide")
    key("a")
    wait_for("the proposal", lambda: window.says("Proposed for snap 1: frames %d to %d" %
                                                 wide[0][1:]))
    wait_for("its snap's frame", lambda: window.frame() == marks(library, "wide")[0][2])
    key("Return")
    wait_for("the second proposal", lambda: window.says("Proposed for snap 2: frames %d to %d" %
                                                        wide[1][1:]))
    key("Return")
    wait_for("no more proposals", lambda: clips(library, "tight") == wide and
             not window.says("Proposed"))
    if marks(library, "tight") != marks(library, "wide"):
        fail("the marks of the second angle: %s" % marks(library, "tight"))
    key("ctrl+z")
    wait_for("the second proposed again", lambda: window.says("Proposed for snap 2") and
             len(clips(library, "tight")) == 1)
    key("Return")
    wait_for("both angles", lambda: clips(library, "tight") == wide)
    step("the second angle by one key a snap")


def check_missed(window, library, last):
    """A play that was passed over goes between the two; then logging ends on the snap's film."""
    key("a")
    wait_for("the wide film", lambda: window.says("Next: a new snap") or
             window.says("This frame is of snap"))
    go(window, last + 3)
    key("F6")
    go(window, last + 15)
    key("F7")
    wait_for("between the two", lambda: [c[0] for c in clips(library, "wide")] == [1, 2, 3] and
             clips(library, "wide")[1] == (2, last + 3, last + 15))
    wait_for("the same numbers on tight",
             lambda: [c[0] for c in clips(library, "tight")] == [1, 3])
    key("bracketleft")
    wait_for("to the start", lambda: window.frame() == last + 3)
    key("Escape")
    wait_for("the snap's questions", lambda: window.focus_name().endswith("?"))
    step("a missed play, and out again")


def main():
    with demo(film_snaps=1) as folder:
        library = os.path.join(folder, "bare.readbreak")
        cli("new", library, "--json")
        step("a library without a game")
        with opened(library) as window:
            check_new_game(window, library)
            add_films(folder, library)
            last = check_first(window, library)
            check_second(window, library)
            check_missed(window, library, last)
            window.close()


main()
