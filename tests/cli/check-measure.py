# SPDX-License-Identifier: GPL-3.0-or-later
"""Measuring from the command line, on the demo's film; the truth is its own cameras."""
import csv
import io
import json
import math
import os
import unittest

import prepared
from rig import Case

# College field, yards (NCAA rules 1-2-1 and appendix D).
WIDTH, HASH = 160 / 3, 20.0
FRAME = 1001 / 60000
# Half of the middle 80 % of a normal error (NIST/SEMATECH e-Handbook, 1.3.6.7.1).
Z_80 = 1.2815515655446004


class Measure(Case):
    def setUp(self):
        super().setUp()
        folder = prepared.season("1", 1)
        with open(os.path.join(folder, "truth.json"), encoding="utf-8") as file:
            self.snap = next(s for s in json.load(file)["snaps"] if "film" in s)
        self.wide = next(f for f in self.snap["film"] if f["angle"] == "wide")
        self.moments = {one["mark"]: one for one in self.wide["moments"]}
        self.library = os.path.join(self.folder, "season.readbreak")
        with open(os.path.join(folder, "season.readbreak"), "rb") as old, \
                open(self.library, "wb") as new:
            new.write(old.read())  # its film lies where the season was made

    def pixel(self, mark, place):
        a, b, c = (row[0] * place[0] + row[1] * place[1] + row[3]
                   for row in self.moments[mark]["matrix"])
        return a / c, b / c, c

    def at(self, mark, place):
        return "%.3f,%.3f" % self.pixel(mark, place)[:2]

    def marks(self):
        words = []
        for line in range(5, 100, 5):
            name = "50" if line == 50 else "l%d" % line if line < 50 else "r%d" % (100 - line)
            for half, y in (("near", HASH), ("far", WIDTH - HASH)):
                u, v, depth = self.pixel("snap", (line, y))
                if depth > 0 and 5 < u < 955 and 5 < v < 535:
                    words += ["--mark", "%s-hash-%s=%.3f,%.3f" % (half, name, u, v)]
        return words

    def take(self, kind, first, second=None, *more):
        words = ["measure", "take", self.library, self.snap["snap"], kind,
                 "--at", self.at("snap", first)]
        words += ["--at", self.at("snap", second)] if second else []
        return self.json(*words, *more)

    def test_each_measure_on_the_frame_of_the_snap(self):
        men = self.moments["snap"]["players"]
        a, b = men[0], men[3]
        wanted = {"length": math.dist(a, b), "cushion": abs(a[0] - b[0]),
                  "split": abs(a[1] - b[1]), "depth": abs(a[0] - b[0]),
                  "width": abs(a[1] - b[1]), "separation": math.dist(a, b),
                  "throw": math.dist(a, b)}
        for kind, truth in wanted.items():
            found = self.take(kind, a, b, *self.marks())
            self.assertLess(abs(found["value"] - truth), 0.15, kind)
            self.assertGreater(found["plus_minus"], 0.05)
            self.assertIsNone(found["saved"])
        found = self.take("sideline", a, None, *self.marks())
        self.assertLess(abs(found["value"] - min(a[1], WIDTH - a[1])), 0.15)
        feet = self.take("sideline", a, None, "--unit", "ft", *self.marks())
        self.assertAlmostEqual(feet["value"], 3 * found["value"], places=6)
        metres = self.take("sideline", a, None, "--unit", "m", *self.marks())
        self.assertAlmostEqual(metres["value"], 0.9144 * found["value"], places=6)
        self.assertEqual(self.json("measure", "list", self.library)["measures"], [])

    def test_a_cushion_is_kept_with_its_tag_and_undone(self):
        men = self.moments["snap"]["players"]
        found = self.take("cushion", men[3], men[20], "--side", "left", "--save",
                          *self.marks())
        self.assertIn("left cushion of snap", found["saved"])
        truth = abs(men[3][0] - men[20][0])
        self.assertLess(abs(found["value"] - truth), 0.3)
        kept = self.json("measure", "list", self.library)["measures"]
        self.assertEqual([(one["kind"], one["side"]) for one in kept], [("cushion", "left")])
        tags = next(one for one in self.json("snaps", self.library)["snaps"]
                    if one["snap"] == self.snap["snap"])["tags"]
        self.assertAlmostEqual(float(tags["left-cushion"]), found["value"], delta=0.051)
        self.assertAlmostEqual(float(tags["left-cushion-error"]),
                               max(found["plus_minus"], 0.1), delta=0.051)
        # A second measure finds the marks that were kept with the first.
        again = self.take("separation", men[3], men[20])
        self.assertLess(abs(again["value"] - math.dist(men[3], men[20])), 0.3)
        lines = list(csv.reader(io.StringIO(
            self.done("measure", "list", self.library, "--csv"))))
        self.assertEqual(lines[0][:4], ["snap", "angle", "measure", "side"])
        self.assertEqual(lines[1][1:4], ["wide", "cushion", "left"])
        self.assertAlmostEqual(float(lines[1][6]), found["value"], places=2)
        self.done("undo", self.library)
        self.assertEqual(self.json("measure", "list", self.library)["measures"], [])

    def test_a_split_is_kept_with_its_tag_and_undone(self):
        men = self.moments["snap"]["players"]
        truth = abs(men[3][1] - men[9][1])
        unsided = self.take("split", men[3], men[9], "--save", *self.marks())
        self.assertLess(abs(unsided["value"] - truth), 0.3)
        tags = self.tags()
        self.assertNotIn("left-split", tags)
        found = self.take("split", men[3], men[9], "--side", "left", "--save")
        self.assertIn("left split", found["saved"])
        tags = self.tags()
        self.assertAlmostEqual(float(tags["left-split"]), found["value"], delta=0.051)
        self.assertAlmostEqual(float(tags["left-split-error"]), max(found["plus_minus"], 0.1),
                               delta=0.051)
        self.done("undo", self.library)
        self.assertNotIn("left-split", self.tags())
        self.done("tag", self.library, "--snap", self.snap["snap"], "left-split=11.5")
        told = self.take("split", men[3], men[9], "--side", "left", "--save")
        self.assertIn("as a person said", told["saved"])
        self.assertEqual(self.tags()["left-split"], "11.5")
        self.assertEqual(len(self.json("measure", "list", self.library)["measures"]), 2)

    def tags(self):
        return next(one for one in self.json("snaps", self.library)["snaps"]
                    if one["snap"] == self.snap["snap"])["tags"]

    def test_a_view_is_carried_to_the_next_mark(self):
        men = self.moments["top"]["players"]
        seen = [one for one in men if 5 < self.pixel("top", one)[0] < 955 and
                5 < self.pixel("top", one)[1] < 535]
        a, b = seen[0], seen[-1]
        found = self.json("measure", "take", self.library, self.snap["snap"], "length",
                          "--at", self.at("snap", self.moments["snap"]["players"][0]), "--at",
                          self.at("snap", self.moments["snap"]["players"][1]), "--save",
                          *self.marks())
        self.assertIsNotNone(found["saved"])
        frame = str(self.moments["top"]["frame"])
        carried = self.json("measure", "take", self.library, self.snap["snap"], "length",
                            "--frame", frame, "--frame-2", frame, "--at", self.at("top", a),
                            "--at", self.at("top", b))
        self.assertLess(abs(carried["value"] - math.dist(a, b)), 0.75)

    def test_times_have_the_error_of_their_frames(self):
        times = {(one["angle"], one["from"], one["to"]): one for one in
                 self.json("measure", "times", self.library, self.snap["snap"])["times"]}
        for film in self.snap["film"]:
            marks = film["marks"]
            for end in ("top", "release", "arrival"):
                if end in marks:
                    one = times[film["angle"], "snap", end]
                    self.assertAlmostEqual(one["seconds"], (marks[end] - marks["snap"]) * FRAME,
                                           delta=FRAME / 10)
                    self.assertAlmostEqual(one["plus_minus"],
                                           Z_80 * FRAME * math.sqrt(2 / 12), delta=2e-4)

    def test_what_cannot_be_measured_is_refused_in_words(self):
        self.done("measure", "list", self.library)  # a copy notes where it lies now
        words = ("measure", "take", self.library, self.snap["snap"])
        self.misused(*words, "girth")
        self.misused(*words, "length", "--at", "here")
        self.misused(*words, "length", "--mark", "near-hash-l35")
        self.misused(*words, "length", "--unit", "cubits")
        self.misused(*words, "length", "--at", "1,1", "--at", "2,2")  # no marks kept yet
        self.refused(*words, "length", "--at", "1,1", "--at", "2,2", "--mark",
                     "near-hash-l35=400,300", says="four points")
        self.refused(*words, "length", "--at", "1,1", "--mark", "the-bench=1,1",
                     says="the-bench")
        men = self.moments["snap"]["players"]
        self.refused(*words, "speed", "--at", self.at("snap", men[0]), "--at",
                     self.at("snap", men[1]), *self.marks(), says="two moments")
        self.misused(*words, "length", "--at", self.at("snap", men[0]), *self.marks())


if __name__ == "__main__":
    unittest.main()
