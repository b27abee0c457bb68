# SPDX-License-Identifier: GPL-3.0-or-later
"""Every film key in the real window: the frame asked for is the frame shown."""
import configparser
import json
import os
import sqlite3
import subprocess
import time

from window import demo, fail, key, opened, repeat_keys, step, wait_for


def check_marks(window, wide, tight):
    """The film opens on the snap's own frame, and one key is one frame."""
    wait_for("the snap's frame", lambda: window.frame() == wide["snap"])
    key("Right")
    wait_for("one frame on", lambda: window.frame() == wide["snap"] + 1)
    key("Left", "Left")
    wait_for("one frame back", lambda: window.frame() == wide["snap"] - 1)
    key("bracketright", "bracketright")
    wait_for("the next marks", lambda: window.frame() == wide["top"])
    key("s")
    wait_for("the snap again", lambda: window.frame() == wide["snap"])
    key("a")
    wait_for("the same moment, tight", lambda: window.frame() == tight["snap"])
    key("a")
    wait_for("the same moment, wide", lambda: window.frame() == wide["snap"])
    key("b")
    wait_for("both angles on the snap", lambda: window.frame() == wide["snap"] and
             window.frame("The other angle") == tight["snap"])
    key("b")
    wait_for("one angle", lambda: not window.says("The other angle"))
    step("marks, steps and angles")


def check_loop(window, snap):
    key("comma")
    key(*["Right"] * 6)
    wait_for("six frames on", lambda: window.frame() == snap + 6)
    key("period", "o")
    wait_for("the loop in words", lambda: window.says("looping a span"))
    key("space")
    time.sleep(0.5)
    for _ in range(20):
        frame = window.frame()
        if not snap <= frame <= snap + 6:
            fail("the loop left its span: frame %d" % frame)
        time.sleep(0.05)
    key("k", "o", "slash", "s")
    wait_for("the snap after the loop", lambda: window.frame() == snap)
    wait_for("no loop", lambda: not window.says("looping"))
    step("a loop stays within its span")


def at_rest(window):
    """The frame shown when it has been the same for a while; None while it still changes."""
    was = window.frame()
    time.sleep(0.4)
    return was if window.frame() == was else None


def check_held_key(window, snap):
    """A key held down steps no further than the picture, and stops where it is let go."""
    repeat_keys(True)
    since = time.monotonic()
    subprocess.run(["xdotool", "keydown", "Right"], check=True)
    wait_for("a step that goes on", lambda: window.frame() >= snap + 3)
    time.sleep(max(0, 1.2 - (time.monotonic() - since)))
    subprocess.run(["xdotool", "keyup", "Right"], check=True)
    held_s = time.monotonic() - since
    repeat_keys(False)
    rested = wait_for("the film at rest after the key was let go", lambda: at_rest(window))
    if not snap < rested <= snap + 9 + 30 * held_s:
        fail("a key held for %.1f s stepped to frame %d from %d" % (held_s, rested, snap))
    key("plus", "plus")
    wait_for("a closer picture", lambda: "enlarged" in window.described("Film"))
    key("minus")
    wait_for("a little farther", lambda: "enlarged" in window.described("Film"))
    key("shift+Left", "0")
    wait_for("the whole picture", lambda: "enlarged" not in window.described("Film"))
    key("F9")
    wait_for("the counts", lambda: any("left out" in n.name for n in window.root().all()))
    key("F9", "j")
    wait_for("backward", lambda: window.frame() < rested)
    key("k", "s")
    wait_for("the snap at last", lambda: window.frame() == snap)
    step("a held key, zoom, counts and reverse")


def row_of(library, sql, *values):
    connection = sqlite3.connect("file:%s?mode=ro" % library, uri=True)
    try:
        return connection.execute(sql, values).fetchone()
    finally:
        connection.close()


def wide_clip(library, snap_mark):
    """The clip shown: its first and last frame as the library has them."""
    return row_of(library, "SELECT c.first, c.last FROM clip c JOIN mark m ON m.clip = c.id"
                  " WHERE c.angle = 'wide' AND c.removed = 0 AND m.kind = 'snap'"
                  " AND m.removed = 0 AND m.frame = ?", snap_mark)


def mark_of(library, snap_mark, kind):
    found = row_of(library, "SELECT o.frame FROM mark m JOIN clip c ON c.id = m.clip"
                   " JOIN mark o ON o.clip = c.id WHERE c.angle = 'wide' AND m.kind = 'snap'"
                   " AND m.frame = ? AND o.kind = ? AND o.removed = 0", snap_mark, kind)
    return found[0] if found else None


def check_marking(window, library, snap):
    """A mark by one key on the frame shown, a note, a split: each told, stored, taken back."""
    key("Right", "Right")
    wait_for("two frames on", lambda: window.frame() == snap + 2)
    key("F2")
    wait_for("the mark in words", lambda: window.says("Mark “Snap” set at frame %d" % (snap + 2)))
    key("Left", "Left", "Left")
    wait_for("another frame", lambda: window.frame() == snap - 1)
    wait_for("the moved mark", lambda: key("s") or window.frame() == snap + 2)
    key("ctrl+z")
    wait_for("the mark where it was", lambda: key("s") or window.frame() == snap)
    for name, kind in (("F3", "top"), ("F4", "release"), ("F5", "arrival")):
        was = mark_of(library, snap, kind)
        key(name)
        wait_for(name + " stored", lambda k=kind: mark_of(library, snap, k) == snap)
        key("ctrl+z")
        wait_for(name + " taken back", lambda k=kind, w=was: mark_of(library, snap, k) == w)
    key("F8")
    wait_for("the note in words", lambda: window.says("Noted: cut early"))
    key("ctrl+z")
    wait_for("no note", lambda: not window.says("Noted"))
    key("shift+F8")
    wait_for("no such note", lambda: window.says("There is a clip of the snap from there"))
    step("marks and notes by key")
    first, last = wide_clip(library, snap)
    # The start may not go past a mark, and an end goes where it is said.
    key("F6")
    wait_for("why not", lambda: window.says("The mark"))
    if wide_clip(library, snap) != (first, last):
        fail("a start that was refused was stored")
    wait_for("the first mark", lambda: key("bracketleft") or window.frame() < snap)
    wait_for("the clip's first frame", lambda: key("bracketleft") or window.frame() == first)
    key("Right", "Right")
    wait_for("two frames on", lambda: window.frame() == first + 2)
    key("F6")
    wait_for("the start in words", lambda: window.says("The clip starts at frame %d" %
                                                       (first + 2)))
    if wide_clip(library, snap) != (first + 2, last):
        fail("the start is stored as %d" % wide_clip(library, snap)[0])
    key("ctrl+z")
    wait_for("the start where it was", lambda: wide_clip(library, snap) == (first, last))
    wait_for("the snap", lambda: key("s") or window.frame() == snap)
    key("F7")
    wait_for("why not there", lambda: window.says("The mark"))
    key("Right", "shift+F6")
    wait_for("the split in words", lambda: window.says("Clip split; a new snap begins"))
    wait_for("the two parts", lambda: wide_clip(library, snap) == (first, snap))
    key("shift+F7")
    wait_for("nothing to join", lambda: window.says("This snap has no other clip"))
    key("ctrl+z")
    wait_for("no split", lambda: wide_clip(library, snap) == (first, last))
    key("F12")
    wait_for("the clip moved", lambda: window.says("Clip moved"))
    key("ctrl+z")
    wait_for("the clip back", lambda: not window.says("Clip moved"))
    key("F11")
    wait_for("the clip moved the other way", lambda: window.says("Clip moved"))
    key("ctrl+z")
    wait_for("the clip back again", lambda: not window.says("Clip moved"))
    step("clips by key")


def check_shuttle(window, snap):
    """Slower and faster, and a key of the user's own."""
    wait_for("the snap", lambda: key("s") or window.frame() == snap)
    key("o")  # the clip goes round: its speed stays in words until it is read
    wait_for("the loop", lambda: window.says("looping"))
    key("space", "j")
    wait_for("slow", lambda: window.says("½×") or window.says("¼×") or window.says("backward"))
    key("k", "l", "l")
    wait_for("fast", lambda: window.says("2×, ") or window.says("1×, all this film allows"))
    key("k", "o", "s")
    wait_for("no loop", lambda: not window.says("looping"))
    wait_for("the snap again", lambda: window.frame() == snap)
    key("d")
    wait_for("the pencil", lambda: window.focus_name().startswith("Draw"))
    key("Escape")
    wait_for("no pencil", lambda: not window.focus_name().startswith("Draw"))
    step("the shuttle and the pencil")


def kept_place(folder):
    """Desk and frame, as the program keeps them for the next time."""
    kept = configparser.ConfigParser()
    kept.read(os.path.join(folder, "readbreak", "places"))
    return next(((kept.get(name, "desk"), kept.get(name, "frame")) for name in
                 kept.sections() if kept.has_option(name, "frame")), None)


def main():
    with demo(film_snaps=1) as folder:
        with open(os.path.join(folder, "truth.json"), encoding="utf-8") as file:
            truth = next(snap for snap in json.load(file)["snaps"] if "film" in snap)
        wide, tight = (next(film for film in truth["film"] if film["angle"] == angle)["marks"]
                       for angle in ("wide", "tight"))
        library = os.path.join(folder, "season.readbreak")
        step("a demo library")
        with opened(library) as window:
            check_marks(window, wide, tight)
            check_loop(window, wide["snap"])
            check_held_key(window, wide["snap"])
            check_shuttle(window, wide["snap"])
            check_marking(window, library, wide["snap"])
            wait_for("the snap", lambda: key("s") or window.frame() == wide["snap"])
            key("Right", "Right", "Right")
            wait_for("three frames on", lambda: window.frame() == wide["snap"] + 3)
            key("ctrl+2")
            wait_for("where it is, kept", lambda: kept_place(folder) ==
                     ("playbook", str(wide["snap"] + 3)))
            window.process.kill()
            window.process.wait()
        with opened(library) as window:
            wait_for("the desk where it was killed", lambda: window.has_desk("Playbook"))
            key("ctrl+1")
            wait_for("the frame where it was killed",
                     lambda: window.frame() == wide["snap"] + 3)
            step("killed, and opened on the same desk and frame")


main()
