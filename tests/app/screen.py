# SPDX-License-Identifier: GPL-3.0-or-later
"""What tests share that drive the real window by keyboard and read it as a screen reader does."""
import json
import os
import sqlite3
import subprocess
import sys
import time

import gi

gi.require_version("Atspi", "2.0")
from gi.repository import Atspi, GLib  # noqa: E402

PATIENCE_S = 40


def fail(message):
    print("FAILED:", message, file=sys.stderr)
    sys.exit(1)


def wait_for(what, found):
    """The first true answer of found(); fails after PATIENCE_S."""
    end = time.monotonic() + PATIENCE_S
    while time.monotonic() < end:
        try:
            answer = found()
        except GLib.Error:  # a widget went away while it was looked at
            answer = None
        if answer:
            return answer
        time.sleep(0.03)
    return fail("waited in vain for " + what)


def nodes(node):
    """The part of the tree that is on the screen."""
    yield node
    for i in range(node.get_child_count()):
        child = node.get_child_at_index(i)
        if child is not None and (child.get_role() == Atspi.Role.FRAME or
                                  child.get_state_set().contains(Atspi.StateType.VISIBLE)):
            yield from nodes(child)


def key(*names):
    subprocess.run(["xdotool", "key", "--clearmodifiers", *names], check=True)


def type_text(text):
    subprocess.run(["xdotool", "type", "--delay", "15", text], check=True)


def the_application():
    desktop = Atspi.get_desktop(0)
    for i in range(desktop.get_child_count()):
        application = desktop.get_child_at_index(i)
        if application is not None and application.get_name() == "readbreak":
            return application
    return None


class Screen:
    """The window of a program that runs on a library."""

    def __init__(self, program, cli, library, cache):
        self.cli_program = cli
        self.library = library
        environment = dict(os.environ, GTK_A11Y="atspi", GDK_BACKEND="x11",
                           GSK_RENDERER="cairo", XDG_CACHE_HOME=cache, NO_AT_BRIDGE="0")
        self.process = subprocess.Popen([program, library], env=environment)
        self.root = wait_for("the window", the_application)
        found = subprocess.run(
            ["xdotool", "search", "--sync", "--onlyvisible", "--name", "Readbreak"],
            check=True, capture_output=True, text=True)
        subprocess.run(["xdotool", "windowfocus", "--sync", found.stdout.split()[0]],
                       check=True)

    def find(self, name=None, role=None, starts=None):
        for node in nodes(self.root):
            text = node.get_name() or ""
            if ((role is None or node.get_role() == role) and
                    (name is None or text == name) and
                    (starts is None or text.startswith(starts))):
                return node
        return None

    def is_on(self, desk):
        node = self.find(desk, Atspi.Role.PUSH_BUTTON)
        return node is not None and node.get_state_set().contains(Atspi.StateType.PRESSED)

    def focus_name(self):
        for node in nodes(self.root):
            if (node.get_state_set().contains(Atspi.StateType.FOCUSED) and
                    node.get_role() != Atspi.Role.FRAME):
                return node.get_name() or ""
        return ""

    def items(self, name):
        """The rows of the list of that name, as they are spoken."""
        box = self.find(name, Atspi.Role.LIST)
        return [] if box is None else [
            node.get_name() for node in nodes(box)
            if node.get_role() == Atspi.Role.LIST_ITEM]

    def frame(self, within=None):
        """The frame shown by the film of the first widget of that name; the pages of a stack that
        are not on top count too."""
        root = self.root if within is None else self.find(within)
        film = next((node for node in nodes(root) if node.get_name() == "Film" and
                     node.get_role() == Atspi.Role.IMAGE), None)
        words = film.get_description() if film is not None else ""
        return int(words.split()[1]) if words.startswith("frame ") else None

    def cli(self, *words):
        done = subprocess.run([self.cli_program, *words], check=True, capture_output=True,
                              text=True)
        return json.loads(done.stdout)

    def rows(self, sql, *values):
        """What the library holds, read beside the program."""
        connection = sqlite3.connect("file:%s?mode=ro" % self.library, uri=True)
        try:
            return connection.execute(sql, values).fetchall()
        finally:
            connection.close()

    def close(self):
        key("ctrl+q")
        if self.process.wait(timeout=PATIENCE_S) != 0:
            fail("the program ended with %d" % self.process.returncode)

    def kill(self):
        if self.process.poll() is None:
            self.process.kill()


SMALL = ("testsrc=size=320x180:rate=30:duration=8", "-pix_fmt", "yuv420p")
# Of more bytes than anybody reads in advance.
HEAVY = ("testsrc=size=640x360:rate=30:duration=8,noise=alls=80:allf=t", "-c:v", "mpeg4", "-q:v", "2")


def make_season(cli, folder, filmed, at, last, film_of=SMALL):
    """A demo season without its own film, whose first judged dropbacks are all shown by one small
    film, the snap at frame `at` of 0 to `last`: quick to make, and every stop of it can be told by
    its frame. Returns the library."""
    library = os.path.join(folder, "season.readbreak")
    film = os.path.join(folder, "wide.mp4")
    subprocess.run([cli, "demo", library, "--no-film"], check=True,
                   stdout=subprocess.DEVNULL)
    subprocess.run(["ffmpeg", "-v", "error", "-f", "lavfi", "-i", *film_of, "-g", "15", film],
                   check=True)
    subprocess.run([cli, "film", "add", library, film], check=True,
                   stdout=subprocess.DEVNULL)
    connection = sqlite3.connect(library)
    base = "1, 15360"  # what the container counts in
    (film_id,) = connection.execute("SELECT id FROM film WHERE removed = 0").fetchone()
    for i, snap in enumerate(filmed(connection)):
        clip = 1000 + i
        connection.execute(
            "INSERT INTO clip (id, snap, film, angle, first, last, first_ticks, first_num,"
            " first_den, last_ticks, last_num, last_den, cut_early, removed)"
            " VALUES (?, ?, ?, 'wide', 0, ?, 0, %s, ?, %s, 'no', 0)" % (base, base),
            (clip, snap, film_id, last, last * 512))
        connection.execute(
            "INSERT INTO mark (id, clip, kind, frame, ticks, num, den, index_version, removed)"
            " VALUES (?, ?, 'snap', ?, ?, %s, 1, 0)" % base, (clip, clip, at, at * 512))
    connection.commit()
    connection.close()
    return library
