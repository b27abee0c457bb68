# SPDX-License-Identifier: GPL-3.0-or-later
"""What other programs read: the views as documented, the examples of the page run as they stand, the
CSV columns, the JSON of commands no other test prints, and the text for a fault report."""
import os
import re
import shutil
import sqlite3
import subprocess
import sys
import threading
import unittest
from xml.etree import ElementTree

import rig

PAGE = os.path.join(os.environ["RB_HELP"], "C", "open-data.html")
HTML = "{http://www.w3.org/1999/xhtml}"


def page():
    """What the page says: the columns told below each heading, and the text of each example."""
    columns, examples, heading = {}, {}, None
    for part in ElementTree.parse(PAGE).getroot().find(HTML + "body"):
        if part.tag in (HTML + "h2", HTML + "h3"):
            heading = part.get("id")
        elif part.tag == HTML + "table":
            columns[heading] = [code.text for code in part.iter(HTML + "code")]
        elif part.tag == HTML + "pre":
            examples[part.get("id")] = part.text
    return columns, examples


def read_only(path):
    return sqlite3.connect(f"file:{path}?mode=ro", uri=True, timeout=30)


class Views(rig.Case):
    def setUp(self):
        super().setUp()
        self.done("demo", "demo.readbreak", "--no-film")
        self.columns, self.examples = page()

    def test_every_view_and_column_is_documented_and_no_other(self):
        db = read_only("demo.readbreak")
        views = [name for name, in db.execute("SELECT name FROM sqlite_schema WHERE type = 'view'")]
        told = [heading for heading in self.columns if not heading.startswith("csv-")]
        self.assertEqual(sorted(views), sorted(told))
        for view in views:
            there = [row[1] for row in db.execute(f"PRAGMA table_info({view})")]
            self.assertEqual(there, self.columns[view], view)
            self.assertGreater(db.execute(f"SELECT count(*) FROM {view}").fetchone()[0], 0, view)

    def test_the_pairings_are_those_the_program_prints(self):
        wanted = {(one["concept"], one["coverage"]): one
                  for one in self.json("pairings", "demo.readbreak")["pairings"]}
        db = read_only("demo.readbreak")
        db.row_factory = sqlite3.Row
        rows = db.execute("SELECT * FROM pairings").fetchall()
        self.assertEqual(len(rows), len(wanted))
        for row in rows:
            one = wanted[row["concept"], row["coverage"]]
            for key in row.keys():
                if key not in ("success_rate", "points"):
                    self.assertEqual(row[key], one[key], key)
            self.assertAlmostEqual(row["points"], one["points"], 9)
            self.assertAlmostEqual(row["success_rate"], one["successes"] / one["dropbacks"], 5)

    def test_the_verdicts_are_those_the_program_prints(self):
        wanted = {one["snap"]: one for one in self.json("verdicts", "demo.readbreak")["verdicts"]}
        db = read_only("demo.readbreak")
        db.row_factory = sqlite3.Row
        rows = db.execute("SELECT * FROM verdicts").fetchall()
        self.assertEqual({row["snap"] for row in rows}, set(wanted))
        for row in rows:
            one = wanted[row["snap"]]
            for key in ("game", "number", "concept", "coverage", "verdict", "stage", "stage_read",
                        "right_read", "ball_read", "success", "counts"):
                self.assertEqual(row[key], None if one[key] == "" else one[key], key)
            if one["points"] is None:
                self.assertIsNone(row["points"])
            else:
                self.assertAlmostEqual(row["points"], one["points"], 9)

    def test_the_python_example_runs(self):
        with open("example.py", "w", encoding="utf-8") as file:
            file.write(self.examples["example-python"])
        words = [sys.executable, "example.py", "demo.readbreak"]
        done = subprocess.run(words, capture_output=True, text=True, timeout=60)
        self.assertEqual((done.returncode, done.stderr), (0, ""))
        big = [one for one in self.json("pairings", "demo.readbreak")["pairings"]
               if one["dropbacks"] >= 5]
        self.assertEqual(len(done.stdout.splitlines()), len(big))
        worst = min(big, key=lambda one: one["points"] / one["pointed"])
        self.assertEqual(done.stdout.split()[:3], [worst["concept"], worst["coverage"],
                                                   str(worst["dropbacks"])])
        # What is behind is not counted for what it was.
        snap = self.json("verdicts", "demo.readbreak")["verdicts"][0]["snap"]
        self.done("tag", "demo.readbreak", "--snap", snap, "note=seen again")
        done = subprocess.run(words, capture_output=True, text=True, timeout=60)
        self.assertEqual(done.returncode, 1)
        self.assertIn("1 actions since", done.stderr)
        self.done("data", "demo.readbreak")
        done = subprocess.run(words, capture_output=True, text=True, timeout=60)
        self.assertEqual(done.returncode, 0, done.stderr)

    @unittest.skipUnless(shutil.which("Rscript"), "R is not installed")
    def test_the_r_example_runs(self):
        with open("example.R", "w", encoding="utf-8") as file:
            file.write(self.examples["example-r"])
        done = subprocess.run(["Rscript", "--vanilla", "example.R", "demo.readbreak"],
                              capture_output=True, text=True, timeout=120)
        self.assertEqual(done.returncode, 0, done.stderr)
        wanted = {}
        for one in self.json("pairings", "demo.readbreak")["pairings"]:
            n, right = wanted.get(one["concept"], (0, 0))
            wanted[one["concept"]] = (n + one["dropbacks"], right + one["successes"])
        lines = [line.split() for line in done.stdout.splitlines()]
        self.assertEqual(lines[0], ["concept", "n", "rate"])
        self.assertEqual({line[0] for line in lines[1:]}, set(wanted))
        for concept, n, rate in lines[1:]:
            self.assertEqual(int(float(n)), wanted[concept][0])
            self.assertAlmostEqual(float(rate), wanted[concept][1] / wanted[concept][0], 4)

    def test_a_reader_outside_is_no_hindrance_and_sees_whole_actions(self):
        """A query under way keeps what it saw; the program writes on; nobody waits."""
        reader = read_only("demo.readbreak")
        snaps = [one for one, in reader.execute("SELECT snap FROM snaps WHERE width IS NOT 'stack'"
                                                " AND strong IS NOT 'right' LIMIT 8")]
        reader.execute("BEGIN")
        before = reader.execute("SELECT count(*), sum(width = 'stack') FROM snaps").fetchone()
        stop, seen = threading.Event(), []

        def read():
            db = read_only("demo.readbreak")
            while not stop.is_set():
                seen.append(db.execute("SELECT sum(width = 'stack'), sum(width = 'stack'"
                                       " AND strong = 'right') FROM snaps").fetchone())
                db.execute("SELECT count(*) FROM verdicts").fetchone()

        thread = threading.Thread(target=read)
        thread.start()
        try:
            for snap in snaps:
                self.done("tag", "demo.readbreak", "--snap", snap, "width=stack", "strong=right")
            self.done("data", "demo.readbreak")
        finally:
            stop.set()
            thread.join()
        self.assertEqual(reader.execute("SELECT count(*), sum(width = 'stack') FROM snaps")
                         .fetchone(), before)
        reader.execute("COMMIT")
        self.assertEqual(reader.execute("SELECT sum(width = 'stack') FROM snaps").fetchone()[0],
                         before[1] + len(snaps))
        self.assertGreater(len(seen), 3)
        for stacked, both in seen:
            self.assertEqual(stacked - before[1], both - seen[0][1])
        self.assertRaises(sqlite3.OperationalError, reader.execute, "UPDATE snap SET note = NULL")

    def test_the_command_lists_the_views(self):
        db = read_only("demo.readbreak")
        for one in self.json("data", "demo.readbreak")["views"]:
            count, = db.execute(f"SELECT count(*) FROM {one['view']}").fetchone()
            self.assertEqual(one["rows"], count)
        self.assertIn("pairings", self.done("data", "demo.readbreak"))
        os.chmod("demo.readbreak", 0o444)
        if os.getuid() != 0:
            self.refused("data", "demo.readbreak")

    def test_csv_has_the_columns_documented(self):
        self.done("report", "demo.readbreak", "--out", "figures.csv")
        self.done("cutup", "make", "demo.readbreak", "Third", "--down", "3")
        self.done("cutup", "export", "demo.readbreak", "Third", "--out", "clips.csv")
        texts = {"csv-measures": self.done("measure", "list", "demo.readbreak", "--csv")}
        for heading, name in (("csv-figures", "figures.csv"), ("csv-cutup", "clips.csv")):
            with open(name, encoding="utf-8") as file:
                texts[heading] = file.read()
        for heading, text in texts.items():
            self.assertEqual(text.splitlines()[0].split(","), self.columns[heading], heading)


class Forgetting(rig.Case):
    def test_a_name_is_gone_from_every_byte(self):
        self.done("demo", "demo.readbreak", "--no-film", "--seed", "5")
        name = "Quentin Zzyzx"
        db = read_only("demo.readbreak")
        snap, = db.execute("SELECT snap FROM snaps LIMIT 1").fetchone()
        db.close()
        self.done("tag", "demo.readbreak", "--snap", snap, "strong=even", "--as", name)
        self.done("tag", "demo.readbreak", "--snap", snap, f"note=told by {name}, late")
        self.done("backup", "demo.readbreak")

        def holding():
            return [path for where, _, names in os.walk(self.folder)
                    for path in (os.path.join(where, one) for one in names)
                    if name.encode() in open(path, "rb").read()]

        self.assertGreaterEqual(len(holding()), 2)
        told = self.json("forget", "demo.readbreak", name.upper())
        self.assertEqual(told, {"found": 1, "forgotten": 0})
        self.assertGreaterEqual(len(holding()), 2)
        told = self.json("forget", "demo.readbreak", name.upper(), "--for-good")
        self.assertEqual(told, {"found": 1, "forgotten": 1})
        self.assertEqual(holding(), [])
        self.refused("forget", "demo.readbreak", name, "--for-good", says="Nobody")
        db = read_only("demo.readbreak")
        notes, = db.execute("SELECT count(*) FROM charts WHERE note LIKE 'told by %, late'").fetchone()
        db.close()
        self.assertEqual(notes, 1)


class Schemas(rig.Case):
    def test_each_command_that_prints_json_has_a_schema(self):
        rig.SCHEMAS.check_schema(rig.SCHEMA)
        # By the manual, whose headings are whole. film dump writes files and prints nothing.
        listed = re.findall(r'(?m)^\.SS (.+)$', self.done("--manual"))
        commands = {one.replace("\\-", "-").strip('"') for one in listed}
        self.assertLessEqual({"pairings", "film check", "exchange receive"}, commands)
        told = set(rig.SCHEMA["$defs"]) - {"id"}
        self.assertEqual(commands - told, {"film dump"})
        self.assertEqual(told - commands, set())

    def test_a_schema_refuses_what_is_not_printed(self):
        self.done("demo", "demo.readbreak", "--no-film")
        root = self.json("ladder", "demo.readbreak")
        for wrong in ({**root, "dropbacks": "many"}, {**root, "cells": [{"read": 1}]},
                      {key: value for key, value in root.items() if key != "break"}):
            self.assertRaises(Exception, rig.check_json, ("ladder",), wrong)

    def test_json_that_no_other_test_prints(self):
        made = self.json("demo", "other.readbreak", "--no-film", "--seed", "3")
        self.assertEqual(made["seed"], 3)
        self.json("playbook", "page", "other.readbreak", "curl-flat", "page.pdf")
        self.json("film", "snapfind", "other.readbreak", "1")


class FaultReport(rig.Case):
    def test_nothing_says_whose_film_it_is(self):
        os.mkdir("Harbor City")
        name = os.path.join("Harbor City", "J. Doe 12 vs Quillbrook.mp4")
        rig.ffmpeg("-f", "lavfi", "-i", "testsrc=size=320x180:rate=30000/1001", "-frames:v", "31", name)
        shutil.copy(name, "bad.mkv")
        with open("bad.mkv", "r+b") as file:
            file.truncate(900)
        text = self.done("film", "check", "--report", name, "bad.mkv")
        for word in ("Harbor", "Doe", "Quillbrook", "bad.mkv", self.folder, "/", "readbreak-"):
            self.assertNotIn(word, text.replace("30000/1001", "").replace("1/30000", ""), word)
        first, second = text.split("\n\n")
        for line in ("name ends with: mp4", "codec: h264", "size as coded: 320x180", "frames: 31",
                     f"bytes: {os.path.getsize(name)}", "sound: none"):
            self.assertIn(line, first.splitlines())
        self.assertIn("refused: ", second)
        # By ffmpeg's own word.
        told = subprocess.run(["ffmpeg", "-version"], capture_output=True, text=True).stdout
        for library in ("libavcodec", "libavformat"):
            version = re.search(rf"{library} +(\d+)\. *(\d+)\. *(\d+)", told).groups()
            self.assertIn(f"{library} {'.'.join(version)}", first)
        self.assertEqual(self.json("film", "check", "--report", name)["reports"],
                         [first + "\n"])


if __name__ == "__main__":
    unittest.main(verbosity=2)
