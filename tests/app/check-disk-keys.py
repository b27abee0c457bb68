# SPDX-License-Identifier: GPL-3.0-or-later
"""The window when the disk lets it down, by keyboard alone: it is full, it cannot be written, the film
goes away while it plays, another one writes all the time. Each is told in a sentence, nothing that was
told as stored is lost, and tagging goes on where it can.

The full and the read-only disk are small file systems in memory that only the window sees."""
import json
import os
import pathlib
import shutil
import subprocess
import tempfile
import threading

from screen import HEAVY, make_season
from window import cli, demo, fail, key, opened, program, sheet_snap, step, wait_for

# Root may write whatever the rights say.
MORTAL = ["setpriv", "--bounding-set=-dac_override,-dac_read_search"] if os.geteuid() == 0 else []
APART = ["unshare", "-Urm"] if os.geteuid() == 0 else \
    ["unshare", "-U", "--map-current-user", "--keep-caps", "-m"]


def can_mount():
    return subprocess.run([*APART, "mount", "-t", "tmpfs", "none", "/mnt"],
                          stderr=subprocess.DEVNULL, check=False).returncode == 0


class Apart:
    """A library on a disk that only the window sees. options: of the disk; then: what is done to it
    before the window opens."""

    def __init__(self, folder, options, then="true"):
        self.disk = os.path.join(folder, "disk")
        os.makedirs(self.disk, exist_ok=True)
        self.library = os.path.join(self.disk, "season.readbreak")
        script = ('mount -t tmpfs -o %s none "$0" && cp "$1" "$0"/ && cd / && %s && shift && '
                  'exec "$@"' % (options, then))
        self.before = [*APART, "sh", "-c", script, self.disk,
                       os.path.join(folder, "season.readbreak")]
        self.window = None

    def run(self, *words):
        return subprocess.run(["nsenter", "-t", str(self.window.process.pid), "-U", "-m",
                               "--preserve-credentials", *words], capture_output=True, text=True,
                              check=False)

    def cli(self, *words):
        done = self.run(program("RB_CLI"), *words)
        return json.loads(done.stdout) if done.returncode == 0 else fail(done.stderr)


def first_snap(window, library, ask):
    """Of the game shown, the one the window is at: its id, by its number and facts."""
    number = wait_for("a snap", lambda: sheet_snap(window))
    facts = {node.name for node in window.root().all()}
    rows = [row for row in ask("snaps", library, "--json")["snaps"]
            if str(row["number"]) == number and
            any(row["situation"] in fact for fact in facts)]
    if len(rows) != 1:
        fail("snaps like number %s: %s" % (number, [row["situation"] for row in rows]))
    return rows[0]["snap"]


def look(ask, library, snap):
    return ask("tag", library, "--snap", snap, "--json")["tags"].get("read-1") or ""


def says(window, *parts):
    """One sentence on the screen that has all of it."""
    return any(all(part in node.name for part in parts) and node.name.endswith(".")
               for node in window.root().all())


def press(window, ask, library, snap, told=None):
    """One press of the first read's key, until it is on disk or told that it is not. Returns whether it
    is on disk."""
    before = look(ask, library, snap)
    key("1")
    answer = wait_for(lambda: "an answer on disk other than %s, or a sentence, not %s" % (before, sorted(
        node.name for node in window.root(exact=True).all() if node.name.endswith("."))), lambda: (
        "stored" if look(ask, library, snap) != before else
        "told" if told is not None and says(window, *told) else None))
    return answer == "stored"


FULL = ("The disk that holds the library", "is full")


def check_full(folder):
    """Presses up to the one that has no room: it is told, the ones before are there. With room again
    the next one is stored."""
    size = os.path.getsize(os.path.join(folder, "season.readbreak")) * 3 // 1024 + 8192
    disk = Apart(folder, "size=%dk" % size)
    with opened(disk.library, before=disk.before) as window:
        disk.window = window
        snap = first_snap(window, disk.library, disk.cli)
        for _ in range(2):
            press(window, disk.cli, disk.library, snap)
        ballast = os.path.join(disk.disk, "ballast")
        disk.run("sh", "-c", 'cat /dev/zero >"$0"', ballast)
        stored = 0
        while press(window, disk.cli, disk.library, snap, FULL):
            stored += 1
            if stored > 300:
                fail("the disk was never full")
        kept = look(disk.cli, disk.library, snap)
        key("1")
        wait_for("told again", lambda: says(window, *FULL))
        if look(disk.cli, disk.library, snap) != kept or window.process.poll() is not None:
            fail("a full disk took something along")
        key("n")
        wait_for("the next snap", lambda: sheet_snap(window))
        key("p")
        disk.run("rm", ballast)
        if not press(window, disk.cli, disk.library, snap):
            fail("with room again it is not stored")
        window.close()
    return stored


def check_read_only(folder):
    """A library on a disk that cannot be written is shown; what cannot be stored is told."""
    disk = Apart(folder, "size=512m", 'mount -o remount,ro "$0"')
    with opened(disk.library, before=disk.before) as window:
        disk.window = window
        snap = first_snap(window, disk.library, disk.cli)
        kept = look(disk.cli, disk.library, snap)
        key("1")
        wait_for("why not", lambda: says(window, "can be read but not changed"))
        was = sheet_snap(window)
        key("n")
        wait_for("the next snap all the same", lambda: sheet_snap(window) not in (was, None))
        if look(disk.cli, disk.library, snap) != kept:
            fail("something was written on it")
        window.close()


def check_stopped(folder, shim):
    """The system lets nothing be written any more while the library is open, as after a fault of the
    disk: told, and the next answer is stored when it does again."""
    library, sign = os.path.join(folder, "season.readbreak"), os.path.join(folder, "stopped")
    with opened(library, before=["env", "LD_PRELOAD=" + shim, "RB_TEST_DISK_STOPS=" + sign]) as window:
        snap = first_snap(window, library, cli)
        press(window, cli, library, snap)
        kept = look(cli, library, snap)
        pathlib.Path(sign).touch()
        key("1")
        wait_for("why not", lambda: says(window, "The disk did not let the library"))
        if look(cli, library, snap) != kept:
            fail("told as not stored, and it is")
        os.remove(sign)
        press(window, cli, library, snap)
        window.close()


def check_rights(folder):
    """Who works loses the right to write while the library is open: each answer is either stored or
    told. Opened again, it is shown and says why nothing is stored."""
    library = os.path.join(folder, "season.readbreak")
    told = ("can be read but not changed",)
    with opened(library, before=MORTAL) as window:
        snap = first_snap(window, library, cli)
        press(window, cli, library, snap)
        os.chmod(library, 0o444)
        os.chmod(folder, 0o555)
        for _ in range(3):
            press(window, cli, library, snap, told)
        kept = look(cli, library, snap)
        window.close()
    with opened(library, before=MORTAL) as window:
        wait_for("the snap", lambda: sheet_snap(window))
        key("1")
        wait_for("why not", lambda: says(window, *told))
        if look(cli, library, snap) != kept:
            fail("something was written")
        window.close()
    os.chmod(folder, 0o755)


def go_round(window):
    """To the next snap and back: its film is opened anew."""
    was = sheet_snap(window)
    key("n")
    wait_for("another snap", lambda: sheet_snap(window) not in (was, None))
    key("p")
    wait_for("the snap again", lambda: sheet_snap(window) == was)


def check_film(folder):
    """Reading the film fails while it plays, as when its drive is pulled out; then it is not there at
    all: told at its place, tags are stored all the same, and it is shown again when it is back."""
    library = make_season(program("RB_CLI"), folder, first_dropback, 60, 239, HEAVY)
    film = os.path.join(folder, "wide.mp4")
    shutil.copy(film, film + " copy")
    with opened(library) as window:
        first = wait_for("the film", window.frame)
        snap = first_snap(window, library, cli)
        key("space")
        wait_for("it plays", lambda: window.frame() > first + 3)
        os.truncate(film, 0)
        wait_for("why it stops", lambda: window.says("This film cannot be shown") and
                 says(window, "wide.mp4", "cut short"))
        press(window, cli, library, snap)
        os.remove(film)
        window.close()
    with opened(library) as window:
        wait_for("where it went", lambda: says(window, "wide.mp4", "is not there"))
        press(window, cli, library, snap)
        os.rename(film + " copy", film)
        go_round(window)
        wait_for("the film again", lambda: window.frame() == first and
                 not says(window, "wide.mp4", "is not there"))
        window.close()


def first_dropback(database):
    return [snap for (snap,) in database.execute(
        "SELECT snap.id FROM snap JOIN chart ON chart.snap = snap.id WHERE chart.removed = 0 "
        "ORDER BY snap.game DESC, snap.number LIMIT 1")]


def check_two_writers(folder):
    """The command line tags other snaps as fast as it can while keys are pressed here: everything that
    was told as stored is there."""
    library = os.path.join(folder, "season.readbreak")
    with opened(library) as window:
        snap = first_snap(window, library, cli)
        others = [row["snap"] for row in cli("snaps", library, "--json")["snaps"]
                  if row["snap"] != snap and row["tags"].get("coverage")][:8]
        told, done = {}, threading.Event()

        def write_on():
            turn = 0
            while not done.is_set():
                one = others[turn % len(others)]
                value = ("cover-2", "cover-3")[turn // len(others) % 2]
                cli("tag", library, "--snap", one, "coverage=" + value, "--json")
                told[one] = value
                turn += 1

        writer = threading.Thread(target=write_on)
        writer.start()
        try:
            stored = sum(press(window, cli, library, snap) for _ in range(8))
        finally:
            done.set()
            writer.join()
        rows = {row["snap"]: row["tags"] for row in cli("snaps", library, "--json")["snaps"]}
        lost = [one for one, value in told.items() if rows[one]["coverage"] != value]
        if stored != 8 or lost or len(told) < 2:
            fail("%d of 8 keys stored; lost of %d others: %s" % (stored, len(told), lost))
        window.close()


def main():
    if can_mount():
        with demo() as folder:
            stored = check_full(folder)
            step("a full disk is told, %d more answers were stored before" % stored)
        with demo() as folder:
            check_read_only(folder)
            step("a disk that cannot be written is told")
    else:
        print("No file system can be mounted here: neither a full nor a read-only disk was tried.")
    if "RB_TEST_FAILING_DISK" in os.environ:
        with demo() as folder:
            check_stopped(folder, os.environ["RB_TEST_FAILING_DISK"])
            step("a disk that stops while the library is open is told")
    with demo() as folder:
        check_rights(folder)
        step("rights that are lost while the library is open lose no answer")
    with tempfile.TemporaryDirectory(prefix="rb-window-") as folder:
        check_film(folder)
        step("a film that goes away is told, and tagging goes on")
    with demo() as folder:
        check_two_writers(folder)
        step("two who write at once lose nothing")


main()
