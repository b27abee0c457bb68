# SPDX-License-Identifier: GPL-3.0-or-later
"""A game's film and its play log, loaded in one command."""
import csv
import json
import os
import shutil
import time
import unittest

import prepared
import rig

SNAPS = 12 if rig.LONG else 3


class Game(rig.Case):
    """The demo's film of one game, loaded into the same season without film."""

    @classmethod
    def setUpClass(cls):
        cls.made = prepared.season("1", SNAPS)
        with open(os.path.join(cls.made, "truth.json"), encoding="utf-8") as file:
            truth = json.load(file)
        cls.filmed = [snap for snap in truth["snaps"] if "film" in snap]
        cls.game = cls.filmed[0]["game"]
        cls.numbers = [snap["number"] for snap in cls.filmed]
        cls.ids = {snap["number"]: snap["snap"] for snap in cls.filmed}

    def setUp(self):
        super().setUp()
        shutil.copytree(os.path.join(self.made, "season film"), "filmed film")
        self.done("demo", "season.readbreak", "--no-film")

    def tags(self, number):
        return self.json("tag", "season.readbreak", "--game", self.game, "--snap",
                         number)["tags"]

    def write_log(self):
        """The log has the gains of the filmed snaps, which nobody has tagged yet."""
        self.gains = {}
        with open("log.csv", "w", encoding="utf-8", newline="") as file:
            out = csv.writer(file)
            out.writerow(["Play", "Down", "Distance", "Spot", "Gain"])
            for number in self.numbers:
                tags = self.tags(number)
                self.gains[number] = tags["gain"]
                out.writerow([number] + [tags.get(key) or "" for key in
                                         ("down", "distance", "spot", "gain")])
                self.done("tag", "season.readbreak", "--game", self.game, "--snap", number,
                          "gain=-")

    def load(self, *words):
        return self.json("film", "import", "season.readbreak", *words, "--game", self.game)

    def check_right(self, told):
        """No clip is of another snap than the one it shows."""
        for row in told["rows"]:
            for angle in ("wide", "tight"):
                if row[angle] and row["number"] > 0:
                    name = os.path.basename(row[angle]["path"])
                    self.assertEqual(name, f"{row['number']:03d} {angle}.mp4")
                    self.assertEqual(row["snap"], self.ids[row["number"]])

    def clips(self, number):
        tags = self.json("tag", "season.readbreak", "--game", self.game, "--snap", number)
        return sorted((clip["angle"], os.path.basename(clip["path"]))
                      for clip in tags["clips"])

    def test_a_folder_of_clips_and_the_log_in_one_command(self):
        self.write_log()
        folder = "filmed film/snaps"
        before = rig.fingerprint(".")
        told = self.load(folder, "--log", "log.csv")
        self.assertFalse(told["written"])
        self.assertEqual(rig.fingerprint("."), before)
        told = self.load(folder, "--log", "log.csv", "--accept")
        self.assertEqual(told["counts"]["both"], SNAPS)
        self.assertEqual((told["films_added"], told["clips_added"], told["snaps_made"]),
                         (2 * SNAPS, 2 * SNAPS, 0))
        self.assertEqual((told["counts"]["extra"], told["counts"]["duplicate"]), (0, 0))
        self.check_right(told)
        for number in self.numbers:
            self.assertEqual(self.tags(number)["gain"], self.gains[number])
            self.assertEqual(self.clips(number), [("tight", f"{number:03d} tight.mp4"),
                                                  ("wide", f"{number:03d} wide.mp4")])
        again = self.load(folder, "--log", "log.csv", "--accept")
        self.assertEqual((again["films_added"], again["clips_added"], again["snaps_made"]),
                         (0, 0, 0))

    def make_card(self):
        """One file a snap and angle. In a short run more snaps are made of the few that are
        filmed: other pieces of them, of other lengths."""
        if rig.LONG:
            shutil.copytree("filmed film/snaps", "card")
            return self.numbers
        os.mkdir("card")
        snaps = self.json("snaps", "season.readbreak", "--game", self.game)["snaps"][:8]
        self.ids = {snap["number"]: snap["snap"] for snap in snaps}
        for i, snap in enumerate(snaps):
            for angle in ("wide", "tight"):
                rig.ffmpeg("-ss", 0.5 * (i // SNAPS), "-i",
                           f"filmed film/snaps/{self.numbers[i % SNAPS]:03d} {angle}.mp4",
                           "-frames:v", 120 + i * 7919 % 97, "-preset", "ultrafast",
                           "-vf", "scale=480:270", f"card/{snap['number']:03d} {angle}.mp4")
        return sorted(self.ids)

    def test_the_table_shows_exactly_what_is_amiss(self):
        a, b, c = self.make_card()[:3]
        gone = [f"card/{a:03d} wide.mp4", f"card/{b:03d} tight.mp4",
                f"card/{c:03d} tight.mp4"]
        for name in gone:
            os.remove(name)
        for name, size in (("098 wide.mp4", "320x180"), ("crowd.mp4", "480x270")):
            rig.ffmpeg("-f", "lavfi", "-i", f"testsrc2=size={size}:rate=30", "-frames:v",
                       100, "-pix_fmt", "yuv420p", "card/" + name)
        shutil.copy(f"card/{c:03d} wide.mp4", f"card/{c:03d} wide copy.mp4")
        told = self.load("card")
        found = {}
        for row in told["rows"]:
            if row["kind"] in ("both", "no-film"):
                continue
            names = [os.path.basename(row[angle]["path"]) for angle in ("wide", "tight")
                     if row[angle]]
            found.setdefault(row["kind"], set()).update(names)
        self.assertEqual(found, {
            "tight-only": {f"{a:03d} tight.mp4"},
            "wide-only": {f"{b:03d} wide.mp4", f"{c:03d} wide.mp4"},
            "extra": {"098 wide.mp4", "crowd.mp4"},
            "duplicate": {f"{c:03d} wide copy.mp4"},
        })
        self.check_right(told)

    def test_two_long_recordings_and_the_log_to_the_first_tag(self):
        """Cut, matched, filled and ready: the machine's part of loading a game."""
        self.write_log()
        angles = [("--" + angle, next("filmed film/" + name for name
                                      in os.listdir("filmed film") if angle in name))
                  for angle in ("wide", "tight")]
        began = time.monotonic()
        told = self.load("--long", "--log", "log.csv", *(word for pair in angles
                                                         for word in pair))
        self.assertEqual(told["counts"]["extra"] + told["counts"]["duplicate"], 0)
        rows = [row for row in told["rows"] if row["wide"] or row["tight"]]
        self.assertEqual(len(rows), SNAPS)
        for row, snap in zip(rows, self.filmed):
            for clip in snap["film"]:
                self.assertLessEqual(abs(row[clip["angle"]]["first"] - clip["first"]), 2)
                self.assertLessEqual(abs(row[clip["angle"]]["last"] - clip["last"]), 2)
        took = time.monotonic() - began
        frames = sum(snap["film"][0]["last"] - snap["film"][0]["first"] + 1
                     for snap in self.filmed)
        print(f"two recordings of {frames / 59.94:.0f} s each cut and matched in "
              f"{took:.1f} s", flush=True)
        self.assertLess(took, 300)


if __name__ == "__main__":
    unittest.main()
