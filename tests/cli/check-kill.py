# SPDX-License-Identifier: GPL-3.0-or-later
"""A script that tags in a loop is killed at random: what was acknowledged stays."""
import os
import random
import signal
import sqlite3
import subprocess
import time
import unittest

import rig

# Says each number once its tag is acknowledged.
LOOP = 'i=$3; while :; do "$1" tag demo.readbreak --snap "$2" note="$i" >/dev/null && ' \
       'echo "$i"; i=$((i + 1)); done'


class Kill(rig.Case):
    def note(self, snap):
        return int(self.json("tag", "demo.readbreak", "--snap", snap)["tags"]["note"])

    def test_no_acknowledged_tag_is_lost(self):
        self.demo()
        snap = self.json("snaps", "demo.readbreak")["snaps"][0]["snap"]
        self.done("tag", "demo.readbreak", "--snap", snap, "note=0")
        seed = int(os.environ.get("RB_TEST_SEED", "23"))
        print(f"seed {seed}")
        draw = random.Random(seed)
        last = 0
        tags = 0
        for _ in range(100 if rig.LONG else 12):
            with subprocess.Popen(["sh", "-c", LOOP, "sh", rig.CLI, snap, str(last + 1)],
                                  stdout=subprocess.PIPE, stderr=subprocess.DEVNULL,
                                  text=True, start_new_session=True) as loop:
                time.sleep(draw.uniform(0.05, 0.6))
                os.killpg(loop.pid, signal.SIGKILL)
                told = loop.communicate(timeout=30)[0].split()
            acknowledged = int(told[-1]) if told else last
            kept = self.note(snap)
            # The tag after the last one acknowledged may have been written unheard.
            self.assertIn(kept - acknowledged, (0, 1))
            tags += len(told)
            last = kept
        print(f"{tags} tags acknowledged")
        self.assertGreater(tags, 5)
        with sqlite3.connect("demo.readbreak") as database:
            self.assertEqual(database.execute("PRAGMA integrity_check").fetchall(), [("ok",)])
        database.close()
        self.done("undo", "demo.readbreak", "--steps", last)
        self.assertEqual(self.note(snap), 0)


unittest.addModuleCleanup(rig.remove_demos)
if __name__ == "__main__":
    unittest.main(verbosity=1)
