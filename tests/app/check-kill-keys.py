# SPDX-License-Identifier: GPL-3.0-or-later
"""The window is killed while a game is tagged by keyboard, at random moments: every answer that the
rail had accepted is there afterwards, and the window opens again on that snap.

An answer counts as accepted when the rail went on to something else. RB_TEST_LONG kills 200 times
and not three; RB_TEST_KILLS says another number, RB_TEST_SEED other moments.
"""
import os
import random
import shutil
import threading
import time

from gi.repository import GLib

from prepared import season
from rail import (DONE, FIELD_OF, Keys, Rail, answer, answerable, hide_charts,
                  settled_options)
from window import LONG, PATIENCE_S, cli, demo, fail, opened, step, wait_for

SEASON = "7304"
KILLS = int(os.environ.get("RB_TEST_KILLS", 200 if LONG else 3))
LONGEST_S = 1.6  # from the first key of a window to its end
# Questions that set more than their one field.
SETS = {
    "Concept?": ("concept", "call", "concept-side"),
    "Corners?": ("left-technique", "right-technique"),
    "Leverage?": ("left-leverage", "right-leverage"),
    "Corners, played?": ("left-technique-played", "right-technique-played"),
    "Half-field safeties?": ("safety-left", "safety-right"),
    "Unblocked rusher?": ("unblocked-side",), "Adjusted?": ("adjustment",), "Ball?": ("ball",),
    "Hit, or outside his control?": (),
}


class Killed(Exception):
    """The window is gone, as it was meant to be."""


class Night:
    """One library and what was answered in it, over many windows."""

    def __init__(self, folder):
        self.folder = folder
        self.library = os.path.join(folder, "season.readbreak")
        self.keys = Keys()
        self.renew()

    def renew(self):
        for name in ("season.readbreak-wal", "season.readbreak-shm"):
            if os.path.exists(os.path.join(self.folder, name)):
                os.remove(os.path.join(self.folder, name))
        shutil.copy(os.path.join(season(SEASON, 0), "season.readbreak"), self.folder)
        shutil.rmtree(os.path.join(self.folder, "readbreak"), ignore_errors=True)
        rows = cli("snaps", self.library, "--json")["snaps"]
        game = hide_charts(self.library)
        due = [row for row in rows if row["game"] == game and row.get("counts")]
        self.truth = {row["number"]: row for row in due}
        self.accepted = {}  # snap's number to its fields
        self.total = getattr(self, "total", 0)
        self.may_be = None  # numbers of the snaps it can be on

    def check(self):
        """What had been accepted is in the library."""
        for number, fields in self.accepted.items():
            row = self.truth[number]
            stored = cli("tag", self.library, "--snap", row["snap"], "--json")["tags"]
            for field in fields:
                if (stored.get(field) or "") != (row["tags"].get(field) or ""):
                    fail("snap %d lost its %s: %s, not %s" %
                         (number, field, stored.get(field), row["tags"].get(field)))


class Sitting:
    """One window's life."""

    def __init__(self, night, window):
        self.night, self.window = night, window
        self.rail = Rail(window)
        self.head = wait_for("the snap", lambda: next(
            (n.path for n in window.root().all()
             if n.name.startswith("Snap ") and n.name[5:].isdigit()), None))

    def number(self):
        return int(self.rail.value(self.head, "Name").split()[1])

    def wait(self, what, found):
        def found_or_dead():
            return self.window.process.poll() is not None or found()
        answer_ = wait_for(what, found_or_dead)
        if self.window.process.poll() is not None:
            raise Killed
        return answer_

    def go_on(self):
        """To the next dropback. False: that was the last."""
        now = self.number()
        later = [number for number in self.night.truth if number > now]
        if not later:
            return False
        self.night.may_be = {now, min(later)}
        self.night.keys.press("Return")
        self.wait("the next dropback", lambda: self.number() != now)
        self.night.may_be = {self.number()}
        return True

    def answer(self, title):
        number = self.number()
        tags = self.night.truth[number]["tags"]
        options = self.wait(lambda: "a true choice of %s: %s" % (title, self.rail.words()),
                            lambda: answerable(title, settled_options(self.rail), tags))
        answer(self.night.keys, title, options[0], tags)
        self.wait("what comes after " + title, lambda: self.rail.title() != title)
        if self.night.keys.log[-1] == "semicolon":
            return  # asked side by side now
        field = FIELD_OF.get(title.split(":")[0].rstrip("?"))
        self.night.accepted.setdefault(number, set()).update(
            SETS.get(title, (field,) if field else ()))
        self.night.total += 1

    def tag(self):
        """Until it is killed. False: the game is tagged."""
        try:
            while True:
                title = self.rail.title()
                if title != DONE:
                    self.answer(title)
                elif not self.go_on():
                    return False
        except (Killed, GLib.Error):
            self.window.process.wait(timeout=PATIENCE_S)  # nothing else may have ended it
            return True


def kill_later(process, chance):
    timer = threading.Timer(chance.uniform(0, LONGEST_S), process.kill)
    timer.start()
    return timer


def main():
    seed = int(os.environ.get("RB_TEST_SEED", time.time_ns() % 1000000))
    print("RB_TEST_SEED=%d" % seed, flush=True)
    chance = random.Random(seed)
    with demo(SEASON) as folder:
        night = Night(folder)
        for kill in range(KILLS):
            if kill % 20 == 19:
                print("%d killed, %d answers" % (kill, night.total), flush=True)
            with opened(night.library) as window:
                sitting = Sitting(night, window)
                if night.may_be is not None and sitting.number() not in night.may_be:
                    fail("opened again on snap %d, not on %s" %
                         (sitting.number(), night.may_be))
                night.may_be = {sitting.number()}
                timer = kill_later(window.process, chance)
                whole = not sitting.tag()
                timer.join()
                window.process.wait()
            night.check()
            if whole:
                night.renew()
        step("killed %d times while tagging; all of %d accepted answers are there, and each "
             "window opened on its snap" % (KILLS, night.total))


main()
