# SPDX-License-Identifier: GPL-3.0-or-later
"""The window when the worst happens: it is killed, another process writes, the library goes away."""
import configparser
import os
import re
import shutil
import signal

from window import cli, demo, fail, key, opened, step, wait_for


def snap_title(window):
    """"Snap 12" as it stands over the facts."""
    return next((node.name for node in window.root().all()
                 if re.fullmatch(r"Snap \d+", node.name)), None)


def place(folder):
    """Where the person is, as the program keeps it: the id of the snap."""
    kept = configparser.ConfigParser()
    kept.read(os.path.join(folder, "readbreak", "places"))
    for name in kept.sections():
        if kept.has_option(name, "snap"):
            return kept.get(name, "snap")
    return None


def look(library, snap):
    return cli("tag", library, "--snap", snap, "--json")["tags"].get("read-1") or ""


def press_look(window, library, snap):
    """One press of the first read's key, and its answer on disk."""
    before = look(library, snap)
    key("1")
    wait_for("the look on disk", lambda: look(library, snap) != before)
    return look(library, snap)


def check_kill(folder, library):
    """Killed on some snap with an answer just given: both are there again."""
    with opened(library) as window:
        first = wait_for("a snap", lambda: snap_title(window))
        wait_for("its place", lambda: place(folder))
        key("n", "n")
        wait_for("another snap", lambda: snap_title(window) not in (None, first))
        title = snap_title(window)
        snap = wait_for("its place kept", lambda: place(folder))
        number = int(title.split()[1])
        wait_for("the place of that snap", lambda: cli(
            "tag", library, "--snap", place(folder), "--json")["number"] == number)
        snap = place(folder)
        answered = press_look(window, library, snap)
        window.process.send_signal(signal.SIGKILL)
        window.process.wait()
    if look(library, snap) != answered:
        fail("the answer did not outlive the window")
    step("killed")
    with opened(library) as window:
        wait_for("the same snap", lambda: snap_title(window) == title)
        step("opened again on the same snap, the answer is there")
        check_other(window, library, snap)
        check_gone(window, library)
        window.process.kill()


def check_other(window, library, snap):
    """The command line writes beside the window: the window sees it, and writes on."""
    value = "covered" if look(library, snap) != "covered" else "open"
    cli("tag", library, "--snap", snap, "read-1=" + value, "--json")
    words = {"covered": "covered", "open": "open"}[value]
    wait_for("the other one's tag in the window", lambda: any(
        re.match(r"(Read )?1\b.*" + words, node.name, re.I) for node in window.root().all()))
    press_look(window, library, snap)
    step("another process wrote, and both answers are there")


def check_gone(window, library):
    """The folder goes away: a sentence, and the window lives."""
    away = library + " taken away"
    os.rename(library, away)
    key("1")
    wait_for("a sentence", lambda: window.says("The library") and any(
        "moved or deleted" in node.name for node in window.root().all()))
    if window.process.poll() is not None:
        fail("the window is gone too")
    shutil.move(away, library)
    step("a library that goes away is told in a sentence")


def main():
    with demo() as folder:
        check_kill(folder, os.path.join(folder, "season.readbreak"))


main()
