# SPDX-License-Identifier: GPL-3.0-or-later
"""A game's film loaded in the real window by keyboard: a folder of clips, mended, watched and copied
in; and two long recordings with a play log, from an empty library to the first tag."""
import csv
import glob
import os
import shutil
import sqlite3
import time

from window import LONG, cli, demo, fail, key, opened, step, wait_for, write

# Of the game that is loaded from two recordings; the whole demo game in the long run.
SNAPS = 12 if LONG else 3
PATIENCE_S = 900 if LONG else 120
TYPED = 0


def press(*names):
    """Keys a person would press; what is pasted, a path, counts as one."""
    global TYPED
    TYPED += len(names)
    key(*names)


def paste(text):
    global TYPED
    TYPED += 1
    write(text)


def start():
    global TYPED
    TYPED = 0


def enough(what):
    print("%s with %d keys" % (what, TYPED), flush=True)
    if TYPED > 25:
        fail("more than 25 keys")


def check_clips(window, library, film):
    """One file a snap."""
    start()
    press("ctrl+shift+o")
    window.focus("^Load film$")
    paste(film)
    press("Return")
    wait_for("the table", lambda: window.says("Snaps with both angles: 1, with one: 0."))
    window.expect_names("the matching table", "Load film")
    step("two clips are read and matched")
    press("x")
    wait_for("the clips taken out", lambda: window.says("Snaps with both angles: 0"))
    press("x")
    wait_for("them back", lambda: window.says("Snaps with both angles: 1"))
    press("alt+t")
    wait_for("the table's keyboard", lambda: (window.focus_name("Load film") or "").startswith(
        "Snap ") or key("Tab"))
    press("x")
    wait_for("the clips taken out again", lambda: window.says("Snaps with both angles: 0"))
    wide = glob.glob(os.path.join(glob.escape(film), "*wide*"))[0]
    shutil.copy(wide, os.path.join(film, "again.mp4"))
    wait_for("the copy in the watched folder",
             lambda: (lambda said: said and "duplicates: 1" in said.name)(
                 window.says("Snaps with both angles: ")))
    if not window.says("Snaps with both angles: 0"):
        fail("a film that came into the folder has put the clips back")
    wait_for("the table's keyboard", lambda: (window.focus_name("Load film") or "").startswith(
        "Snap "))
    press("x")
    wait_for("them back once more", lambda: window.says("Snaps with both angles: 1"))
    step("what is copied into a watched folder is read, and no mend forgotten")
    if cli("film", "check", library, "--json")["films"]:
        fail("something was written before it was accepted")
    press("alt+p", "alt+a")
    wait_for("what was written", lambda: window.says("Loaded: 2 films, 2 clips, 0 new"))
    films = cli("film", "check", library, "--json")["films"]
    if [film["stand"] for film in films] != ["found", "found"]:
        fail("the films are not in the library: %s" % films)
    copied = sorted(os.listdir(library.replace(".readbreak", " film")))
    if copied != sorted(name for name in os.listdir(film) if name != "again.mp4"):
        fail("copied in: %s" % copied)
    press("Escape")
    enough("a folder of clips loaded and copied in")
    step("mended by key, accepted, copied and in the library")


def write_log(made, path):
    """What the filmed snaps were, in a layout of its own. Their numbers count the clips."""
    snaps = [row for row in cli("snaps", made, "--json", "--game", "2")["snaps"]]
    filmed = sorted(marked_snaps(made))
    with open(path, "w", encoding="utf-8", newline="") as file:
        out = csv.writer(file, delimiter=";")
        out.writerow(["Nr.", "Down", "To go", "Spot"])
        for place, number in enumerate(filmed):
            tags = next(row for row in snaps if row["number"] == number)["tags"]
            out.writerow([place + 1, tags.get("down"), tags.get("distance"), tags.get("spot")])
    return len(filmed)


def ask(library, sql, *values):
    connection = sqlite3.connect("file:%s?mode=ro" % library, uri=True)
    try:
        return connection.execute(sql, values).fetchall()
    finally:
        connection.close()


def marked_snaps(library):
    return {number for number, in ask(library, "SELECT s.number FROM clip c JOIN snap s ON"
                                      " s.id = c.snap JOIN film f ON f.id = c.film"
                                      " WHERE f.title LIKE 'Week%'")}


def load_log(window, log):
    press("ctrl+shift+l")
    window.focus("^Play log$")
    paste(log)
    press("Return")
    wait_for("the log understood", lambda: window.says("Nr."))
    wait_for("what it will do", lambda: window.says("Yard lines") or
             window.says("%d " % SNAPS))
    press("alt+a")


def check_cut_by_key(window, whole):
    """A cut that the finder missed is put and, since it was none, taken back."""
    global TYPED
    typed = TYPED
    # From the menu, past three ticks, into the table.
    wait_for("the table's keyboard", lambda: (window.focus_name("Load film") or "").startswith(
        "Snap ") or key("Tab"))
    press("c")
    wait_for("where to cut", lambda: window.says("Where was the camera stopped? A new clip"))
    press("Right", "shift+Left", "Escape")
    wait_for("nothing cut", lambda: not window.says("Where was the camera stopped? A new"))
    if not window.says(whole):
        fail("leaving a cut that was not put changed the table")
    press("c", "Right", "y")
    wait_for("the clip in two", lambda: not window.says(whole))
    window.expect_names("a clip that was cut", "Load film")
    press("m")
    wait_for("where to move it", lambda: window.says("Where was the camera stopped? The cut"))
    press("shift+Left", "y")
    wait_for("the cut moved", lambda: not window.says("Where was the camera stopped?"))
    press("m")
    wait_for("it again", lambda: window.says("Where was the camera stopped? The cut"))
    press("j")
    wait_for("one clip again", lambda: window.says(whole))
    press("Home")
    step("a cut put, moved and taken back by key")
    TYPED = typed  # not of the way to the first tag


def check_recordings(window, library, film, log, snaps):
    """Two long recordings: cut, matched with the log's snaps, snaps found, and the first tag."""
    start()
    began = time.monotonic()
    press("Return")
    window.focus("^New game$")
    wait_for("the new game", lambda: window.focus_name("New game") == "Name")
    paste("Week 2")
    press("Return")
    wait_for("its empty page", lambda: window.says("No snap of this game is logged yet"))
    window.focus("Readbreak")
    load_log(window, log)
    wait_for("the log's snaps", lambda: len(ask(library, "SELECT id FROM snap")) == snaps)
    press("Escape")
    window.focus("Readbreak")
    step("a game and its log")
    press("ctrl+shift+o")
    window.focus("^Load film$")
    paste(film)
    press("Return")
    press("alt+e")  # half a minute of film is not told as a recording by its length
    time.sleep(1)  # the menu has a window of its own, which tells nobody that it is there
    press("Down", "Down", "Return")
    wait_for("the table", lambda: window.says("Snaps with both angles: %d, with one: 0." % snaps),
             PATIENCE_S)
    window.expect_names("a recording that was cut", "Load film")
    step("two recordings cut and matched")
    if not LONG:
        aside = time.monotonic()
        check_cut_by_key(window, "Snaps with both angles: %d, with one: 0." % snaps)
        began += time.monotonic() - aside
    press("alt+a")
    wait_for("what was written", lambda: window.says("Loaded: 2 films, %d clips, 0 new" %
                                                     (2 * snaps)))
    press("Return")
    window.focus("^Find the snaps$")
    wait_for("the snaps found", lambda: window.says("Taken: "), PATIENCE_S)
    window.expect_names("snaps that were found", "Find the snaps")
    press("y", "alt+a")
    wait_for("the marks", lambda: ask(library, "SELECT count(*) FROM mark")[0][0] > 0)
    press("Escape")
    window.focus("Readbreak")
    step("snaps found and their marks written")
    wait_for("the first question", lambda: window.focus_name().endswith("?"))
    press("d")
    wait_for("the first tag", lambda: ask(library, "SELECT count(*) FROM snap WHERE"
                                          " play IS NOT NULL AND play <> 'unknown'")[0][0])
    print("two recordings and a log to the first tag in %.0f s" % (time.monotonic() - began),
          flush=True)
    enough("two recordings and a log to the first tag")


def main():
    with demo(film_snaps=1) as filmed, demo() as folder:
        library = os.path.join(folder, "season.readbreak")
        film = glob.glob(os.path.join(glob.escape(filmed), "* film", "snaps"))[0]
        with opened(library) as window:
            wait_for("the window", lambda: window.focus_name())
            check_clips(window, library, film)
    with demo(film_snaps=SNAPS) as filmed:
        library = os.path.join(filmed, "bare.readbreak")
        log = os.path.join(filmed, "log.csv")
        cards = os.path.join(filmed, "cards")
        os.mkdir(cards)
        for path in glob.glob(os.path.join(glob.escape(filmed), "season film", "*.mp4")):
            os.link(path, os.path.join(cards, os.path.basename(path)))
        snaps = write_log(os.path.join(filmed, "season.readbreak"), log)
        cli("new", library, "--json")
        with opened(library) as window:
            wait_for("no game", lambda: window.says("This library has no game yet"))
            check_recordings(window, library, cards, log, snaps)


main()
