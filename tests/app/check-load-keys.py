# SPDX-License-Identifier: GPL-3.0-or-later
"""A game's film loaded in the real window by keyboard: read, mended, accepted."""
import glob
import os

from window import cli, demo, key, opened, step, wait_for, write

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


def check(window, library, film):
    press("ctrl+shift+o")
    window.focus("^Load film$")
    paste(film)
    press("Return")
    wait_for("the table", lambda: window.says("Snaps with both angles: 1, with one: 0."))
    step("two clips are read and matched")
    press("x")
    wait_for("the clips taken out", lambda: window.says("Snaps with both angles: 0"))
    press("x")
    wait_for("them back", lambda: window.says("Snaps with both angles: 1"))
    if cli("film", "check", library, "--json")["films"]:
        raise SystemExit("something was written before it was accepted")
    press("alt+a")
    wait_for("what was written", lambda: window.says("Loaded: 2 films, 2 clips, 0 new"))
    films = cli("film", "check", library, "--json")["films"]
    if [film["stand"] for film in films] != ["found", "found"]:
        raise SystemExit("the films are not in the library: %s" % films)
    press("Escape")
    print("loaded with %d keys" % TYPED, flush=True)
    if TYPED > 25:
        raise SystemExit("more than 25 keys")
    step("mended by key, accepted, and in the library")


def main():
    with demo(film_snaps=1) as filmed, demo() as folder:
        library = os.path.join(folder, "season.readbreak")
        film = glob.glob(os.path.join(glob.escape(filmed), "* film", "snaps"))[0]
        with opened(library) as window:
            wait_for("the window", lambda: window.focus_name())
            check(window, library, film)


main()
