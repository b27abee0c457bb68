# SPDX-License-Identifier: GPL-3.0-or-later
"""Somebody tags at the rail and the worst happens: the process is killed, the disk is full, the
folder goes away, the library cannot be written, another process writes too. Whatever was
acknowledged is there, and what was not is said in a sentence."""
import os
import random
import shutil
import signal
import sqlite3
import subprocess
import sys
import time
import unittest

import rig

TAGGER = os.environ["RB_TAGGER"]


class Told:
    """What a tagger said: what it was told is on disk, by snap and field; and its last try, when
    nobody heard whether it was written."""

    def __init__(self):
        self.kept, self.open, self.oks, self.refusals = {}, {}, 0, []

    def take(self, lines):
        for line in lines:
            word, _, rest = line.partition(" ")
            if word == "try":
                snap, *tags = rest.split("\t")
                self.open = {(snap, field): value for field, _, value in
                             (tag.partition("=") for tag in tags)}
            elif word == "ok":
                self.kept.update(self.open)
                self.open = {}
                self.oks += 1
            elif word == "no":
                self.refusals.append(rest)
                self.open = {}


class Trouble(rig.Case):
    def start(self, library, person="Harlan Pike", seed=1, before=()):
        return subprocess.Popen([*before, TAGGER, library, person, str(seed)],
                                stdout=subprocess.PIPE, stderr=subprocess.DEVNULL, text=True)

    def expect_kept(self, told, library="demo.readbreak", person="Harlan Pike", snaps=None):
        """Every acknowledged answer is what the library holds for that person."""
        wrong = []
        for snap in sorted({s for s, _ in told.kept if snaps is None or s in snaps}):
            tags = self.json("tag", library, "--snap", snap, "--as", person)["tags"]
            for (s, field), value in told.kept.items():
                if s == snap and (tags.get(field) or "") != value and \
                        tags.get(field) != told.open.get((s, field)):
                    wrong.append(f"{snap} {field}: {tags.get(field)} instead of {value}")
        self.assertEqual(wrong, [])

    def expect_whole(self, library="demo.readbreak"):
        database = sqlite3.connect(library)
        self.assertEqual(database.execute("PRAGMA integrity_check").fetchall(), [("ok",)])
        database.close()

    def test_killed_at_any_moment_no_answer_is_lost(self):
        self.demo()
        seed = int(os.environ.get("RB_TEST_SEED", "29"))
        print(f"seed {seed}")
        draw = random.Random(seed)
        told = Told()
        rounds = 200 if rig.LONG else 15
        for i in range(rounds):
            with self.start("demo.readbreak", seed=i) as tagger:
                first = tagger.stdout.readline().rstrip("\n")  # it is at work
                time.sleep(draw.uniform(0, 0.15))
                tagger.send_signal(signal.SIGKILL)
                # Not communicate(): it would pass over what readline() has read ahead.
                lines = [first] + tagger.stdout.read().split("\n")[:-1]
            one = Told()
            one.take(lines)
            told.take(lines)
            self.expect_kept(told, snaps={s for s, _ in one.kept})
            # What nobody heard of is settled by what is there now.
            for (snap, field) in told.open:
                tags = self.json("tag", "demo.readbreak", "--snap", snap, "--as",
                                 "Harlan Pike")["tags"]
                told.kept[(snap, field)] = tags.get(field) or ""
            told.open = {}
        print(f"{rounds} kills, {told.oks} answers acknowledged")
        self.assertGreater(told.oks, rounds // 3)
        self.assertEqual(told.refusals, [])
        self.expect_kept(told)
        self.expect_whole()

    def test_a_full_disk_is_told_and_loses_nothing(self):
        if subprocess.run(["unshare", "-Urm", "true"], stderr=subprocess.DEVNULL,
                          check=False).returncode != 0:
            self.skipTest("no file system can be mounted here")
        self.demo()
        size = (os.path.getsize("demo.readbreak") * 2 >> 10) + 700
        script = ('mkdir small && mount -t tmpfs -o size=%dk none small && '
                  'cp demo.readbreak small/ && '
                  '"$0" small/demo.readbreak "Harlan Pike" 1; cp small/demo.readbreak after.readbreak; '
                  '[ ! -f small/demo.readbreak-wal ] || cp small/demo.readbreak-wal after.readbreak-wal; '
                  'rm -rf small/*backups* small/*.wal; true' % size)
        done = subprocess.run(["unshare", "-Urm", "sh", "-c", script, TAGGER],
                              capture_output=True, text=True, timeout=300, check=False)
        told = Told()
        told.take(done.stdout.splitlines())
        print(f"{told.oks} answers before the disk was full: {told.refusals[:1]}")
        self.assertTrue(told.refusals, "the disk was never full")
        for sentence in told.refusals:
            self.assertTrue(sentence.endswith("."), sentence)
            self.assertIn("full", sentence)
        self.expect_kept(told, library="after.readbreak")
        self.expect_whole("after.readbreak")

    def test_a_library_that_cannot_be_written_is_told(self):
        if os.geteuid() == 0 and shutil.which("setpriv") is None:
            self.skipTest("root writes everywhere")
        self.demo()
        before = rig.fingerprint(".")
        os.chmod("demo.readbreak", 0o444)
        os.chmod(".", 0o555)
        other = ["setpriv", "--reuid", "65534", "--regid", "65534", "--clear-groups"]
        with self.start("demo.readbreak", before=other if os.geteuid() == 0 else ()) as tagger:
            lines = tagger.communicate(timeout=60)[0].splitlines()
        os.chmod(".", 0o755)
        os.chmod("demo.readbreak", 0o644)
        told = Told()
        told.take(lines)
        self.assertEqual(told.oks, 0)
        self.assertTrue(told.refusals)
        self.assertTrue(told.refusals[0].endswith("."), told.refusals)
        self.assertEqual(rig.fingerprint("."), before)

    def test_a_folder_that_goes_away_is_told(self):
        self.demo()
        os.mkdir("stick")
        shutil.move("demo.readbreak", "stick/demo.readbreak")
        with self.start("stick/demo.readbreak") as tagger:
            for _ in range(20):
                line = tagger.stdout.readline()
            shutil.rmtree("stick")
            rest = tagger.communicate(timeout=120)[0].splitlines()
        told = Told()
        told.take([line.rstrip("\n")] + rest)
        late = [i for i, text in enumerate(rest) if text.startswith("ok")]
        print(f"{len(late)} acknowledged on the way, then: {told.refusals[:1]}")
        self.assertTrue(told.refusals, "nobody noticed")
        self.assertTrue(told.refusals[0].endswith("."), told.refusals)
        self.assertLess(len(late), 30, "answers were acknowledged long after the file was gone")

    def test_two_who_write_at_once_lose_nothing(self):
        self.demo()
        people = ("Harlan Pike", "Ottoline Reed")
        taggers = [self.start("demo.readbreak", person, seed) for seed, person in
                   enumerate(people)]
        first = [tagger.stdout.readline().rstrip("\n") for tagger in taggers]
        time.sleep(3 if not rig.LONG else 20)
        outputs = []
        for line, tagger in zip(first, taggers):
            tagger.send_signal(signal.SIGKILL)
            outputs.append([line] + tagger.communicate(timeout=60)[0].split("\n")[:-1])
        for person, lines in zip(people, outputs):
            told = Told()
            told.take(lines)
            print(f"{person}: {told.oks} answers, {len(told.refusals)} refused")
            self.assertGreater(told.oks, 3)
            # Facts belong to the snap, and the other person may have said them last.
            own = {key: value for key, value in told.kept.items()
                   if key[1] in ("concept", "coverage", "shell", "side-worked", "ball")}
            told.kept = own
            snaps = sorted({s for s, _ in own})[:12]
            self.expect_kept(told, person=person, snaps=set(snaps))
        self.expect_whole()


unittest.addModuleCleanup(rig.remove_demos)
if __name__ == "__main__":
    sys.stdout.reconfigure(line_buffering=True)
    unittest.main(verbosity=1)
