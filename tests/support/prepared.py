# SPDX-License-Identifier: GPL-3.0-or-later
"""Demo seasons with film. Drawing film takes 14 seconds a snap, so each kind is made once for all
tests, and for all builds where RB_TEST_MADE_FOR_ALL and RB_TEST_DEMO_CLI name a folder and the program
that makes them; anew when that program changed.
"""
import contextlib
import fcntl
import glob
import hashlib
import os
import shutil
import subprocess
import tempfile


def fingerprint(path):
    with open(path, "rb") as file:
        return hashlib.sha256(file.read()).hexdigest()[:16]


def season(seed, film_snaps):
    """The folder of a season: season.readbreak, truth.json and film. Not to be written to."""
    maker = os.environ.get("RB_TEST_DEMO_CLI") or os.environ["RB_CLI"]
    store = os.path.join(os.environ.get("RB_TEST_MADE_FOR_ALL") or os.environ["XDG_CACHE_HOME"],
                         "demos")
    os.makedirs(store, exist_ok=True)
    kind = "%s-%d-" % (seed, film_snaps)
    folder = os.path.join(store, kind + fingerprint(maker))
    with open(os.path.join(store, kind + "lock"), "w", encoding="utf-8") as lock:
        fcntl.flock(lock, fcntl.LOCK_EX)
        if not os.path.exists(os.path.join(folder, "whole")):
            for old in glob.glob(os.path.join(store, kind + "*/")):
                shutil.rmtree(old, ignore_errors=True)
            os.makedirs(folder)  # not made elsewhere and moved: a library knows where film is
            subprocess.run([maker, "demo", os.path.join(folder, "season.readbreak"),
                            "--seed", seed, "--film-snaps", str(film_snaps)], check=True,
                           stdout=subprocess.DEVNULL)
            with open(os.path.join(folder, "whole"), "w", encoding="utf-8"):
                pass
    return folder


@contextlib.contextmanager
def demo(seed="1", film_snaps=0):
    """A folder with a demo season of the test's own."""
    with tempfile.TemporaryDirectory(prefix="rb-window-") as folder:
        shutil.copytree(season(seed, film_snaps), folder, dirs_exist_ok=True,
                        ignore=shutil.ignore_patterns("whole"))
        yield folder
