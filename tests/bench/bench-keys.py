# SPDX-License-Identifier: GPL-3.0-or-later
"""bench-keys.py BUILD [SNAPS]: how long from a key to its answer on the screen, and how smoothly
the list of snaps scrolls, in the real window over a library of 20,000 snaps, drawn by software.

Run on a display of its own, as `sh tests/app/with-display python3 tests/bench/bench-keys.py build`.
Keys and wheel go in by the X server; the answer is there when the pixels of the line that says
what was stored have changed, so store, layout and drawing count (the look itself is shown at once).
"""
import ctypes
import math
import os
import statistics
import subprocess
import sys
import tempfile
import time

KEYS, SCROLL_S = 100, 6
WIDTH, HEIGHT = 1366, 768
SAID = (10, 740, 1340, 24)  # at that size: what was stored, in words
LIST = (20, 480, 700, 220)      # the drawer with the snaps of the game


class Screen:
    """The X server, as far as it is needed."""

    def __init__(self):
        self.x = ctypes.CDLL("libX11.so.6")
        self.test = ctypes.CDLL("libXtst.so.6")
        for name in ("XOpenDisplay", "XGetImage", "XDefaultRootWindow"):
            getattr(self.x, name).restype = ctypes.c_void_p
        self.display = ctypes.c_void_p(self.x.XOpenDisplay(None))
        self.root = ctypes.c_void_p(self.x.XDefaultRootWindow(self.display))

    def pixels(self, area):
        """What is seen there now."""
        image = self.x.XGetImage(self.display, self.root, *area, ctypes.c_ulong(-1), 2)
        # XImage: width, height, xoffset, format, data (a pointer, aligned), ...
        data = ctypes.cast(image + 16, ctypes.POINTER(ctypes.c_void_p))[0]
        seen = ctypes.string_at(data, area[2] * area[3] * 4)
        self.x.XDestroyImage(ctypes.c_void_p(image))
        return seen

    def key(self, name):
        self.x.XStringToKeysym.restype = ctypes.c_ulong
        code = self.x.XKeysymToKeycode(self.display, ctypes.c_ulong(
            self.x.XStringToKeysym(name.encode())))
        for down in (1, 0):
            self.test.XTestFakeKeyEvent(self.display, code, down, 0)
        self.x.XFlush(self.display)

    def wheel(self, down):
        for press in (1, 0):
            self.test.XTestFakeButtonEvent(self.display, 5 if down else 4, press, 0)
        self.x.XFlush(self.display)


def wait_still(screen, area, still_s=0.25, patience_s=20):
    """Until nothing has changed there for a while. Returns what is seen."""
    end, since, seen = time.monotonic() + patience_s, time.monotonic(), screen.pixels(area)
    while time.monotonic() < end and time.monotonic() - since < still_s:
        now = screen.pixels(area)
        if now != seen:
            seen, since = now, time.monotonic()
        time.sleep(0.005)
    return seen


def measure_keys(screen):
    times = []
    for i in range(KEYS):
        before = wait_still(screen, SAID)
        start = time.monotonic()
        screen.key(str(1 + i % 3))
        while screen.pixels(SAID) == before:
            if time.monotonic() - start > 5:
                sys.exit("a key had no answer on the screen")
        times.append(1000 * (time.monotonic() - start))
    return sorted(times)


def measure_scroll(screen):
    """Different pictures of the list a second while the wheel turns, down and up."""
    start, shown, last, ticks = time.monotonic(), 0, None, 0
    while time.monotonic() - start < SCROLL_S:
        now = time.monotonic() - start
        if ticks < now * 60:
            screen.wheel(int(now / 1.5) % 2 == 0)
            ticks += 1
        seen = screen.pixels(LIST)
        shown += seen != last
        last = seen
    return shown / SCROLL_S


def main():
    build = os.path.abspath(sys.argv[1])
    snaps = sys.argv[2] if len(sys.argv) > 2 else "20000"
    with tempfile.TemporaryDirectory(prefix="rb-bench-") as folder:
        library = os.path.join(folder, "season.readbreak")
        subprocess.run([build + "/src/cli/readbreak-cli", "demo", library, "--no-film"], check=True,
                       stdout=subprocess.DEVNULL)
        subprocess.run([build + "/tests/bench/bench-grow", library, snaps], check=True)
        environment = dict(os.environ, GDK_BACKEND="x11", GSK_RENDERER="cairo", GTK_A11Y="none",
                           XDG_CACHE_HOME=folder, XDG_STATE_HOME=folder, XDG_CONFIG_HOME=folder,
                           READBREAK_DECODE=build + "/src/decode/readbreak-decode")
        with subprocess.Popen([build + "/src/app/readbreak", library], env=environment) as window:
            try:
                screen = Screen()
                found = []
                while not found:
                    time.sleep(0.2)
                    found = subprocess.run(["xdotool", "search", "--onlyvisible", "--name",
                                            "season.*Readbreak"], capture_output=True, text=True,
                                           check=False).stdout.split()
                subprocess.run(["xdotool", "windowfocus", "--sync", found[0], "windowsize",
                                found[0], str(WIDTH), str(HEIGHT), "windowmove", found[0], "0",
                                "0"], check=True)
                wait_still(screen, (0, 0, WIDTH, HEIGHT), 2)
                screen.key("1")  # the first change joins the staff and makes the day's backup
                wait_still(screen, SAID, 3)
                times = measure_keys(screen)
                print("key to visible answer: median %.1f ms, 99th percentile %.1f ms, "
                      "%d keys" % (statistics.median(times), times[math.ceil(0.99 * KEYS) - 1], KEYS))
                subprocess.run(["xdotool", "key", "ctrl+l", "mousemove", "300", "600"], check=True)
                wait_still(screen, LIST, 1)
                print("the list scrolls at %.1f pictures a second" % measure_scroll(screen))
            finally:
                window.kill()


main()
