# SPDX-License-Identifier: GPL-3.0-or-later
"""A play log at the command line."""
import csv
import os
import unittest

import rig


class Log(rig.Case):
    def setUp(self):
        super().setUp()
        self.demo()

    def plays(self):
        """The first game's plays as the library has them."""
        found = []
        for snap in self.json("snaps", "demo.readbreak", "--game", 1)["snaps"]:
            number = snap["number"]
            tags = self.json("tag", "demo.readbreak", "--game", 1, "--snap", number)["tags"]
            found.append(dict(tags, number=number))
            if len(found) == 30:
                break
        return found

    def write(self, plays, name="log.csv", encoding="utf-16", delimiter=";"):
        with open(name, "w", encoding=encoding, newline="") as file:
            out = csv.writer(file, delimiter=delimiter)
            out.writerow(["Nr.", "Versuch", "Distanz", "Yardlinie", "Raumgewinn"])
            for play in plays:
                spot = play.get("spot", "")
                if spot.startswith("own"):
                    spot = "-" + spot[4:]
                elif spot.startswith("opp"):
                    spot = spot[4:]
                out.writerow([play["number"], play.get("down", ""),
                              play.get("distance", ""), spot, play.get("gain", "")])

    def test_a_log_that_says_the_same_changes_nothing(self):
        self.write(self.plays())
        told = self.json("log", "import", "demo.readbreak", 1, "log.csv", "--preview",
                         "--yard-lines", "minus-own", "--align", "numbers")
        self.assertEqual(told["questions"], [])
        self.assertEqual(told["encoding"], "UTF-16LE")
        self.assertEqual((told["added"], told["filled"], told["differ"]), (0, 0, 0))
        self.assertFalse(told["done"])
        fields = {row["column"]: row["field"] for row in told["columns"]}
        self.assertEqual(fields, {"Nr.": "number", "Versuch": "down", "Distanz": "distance",
                                  "Yardlinie": "spot", "Raumgewinn": "gain"})

    def test_a_log_fills_what_is_not_tagged_and_is_undone(self):
        plays = self.plays()
        play = next(p for p in plays if "down" in p and p.get("gain"))
        self.done("tag", "demo.readbreak", "--game", 1, "--snap", play["number"],
                  "gain=-")
        self.write(plays + [{"number": 99, "down": "7"}])
        words = ["log", "import", "demo.readbreak", 1, "log.csv", "--yard-lines",
                 "minus-own", "--align", "numbers"]
        told = self.json(*words)
        self.assertTrue(told["done"])
        self.assertEqual((told["filled"], told["differ"]), (1, 0))
        self.assertEqual(told["left_out"],
                         [{"line": len(plays) + 2, "reason": 'the down "7" is not 1 to 4'}])
        with open(told["left_out_file"], encoding="utf-8", newline="") as file:
            self.assertEqual(list(csv.reader(file))[1][:4],
                             [str(len(plays) + 2), 'the down "7" is not 1 to 4', "99", "7"])
        tag = ["tag", "demo.readbreak", "--game", 1, "--snap", play["number"]]
        self.assertEqual(self.json(*tag)["tags"]["gain"], play["gain"])
        self.assertIn("play log log.csv", self.done("history", "demo.readbreak"))
        self.done("undo", "demo.readbreak")
        self.assertNotIn("gain", {k: v for k, v in self.json(*tag)["tags"].items() if v})

    def test_what_is_unclear_is_refused_with_the_option(self):
        with open("log.csv", "w", encoding="utf-8") as file:
            file.write("Down,Distance,Yard line\n1,10,25\n2,6,29\n3,2,33\n")
        words = ["log", "import", "demo.readbreak", 1, "log.csv"]
        self.refused(*words, says="--yard-lines")
        self.assertIn("Asked: ", self.done(*words, "--preview"))
        self.misused(*words, "--yard-lines", "sideways")
        self.refused(*words, "--map", "Down=downs", says="COLUMN=FIELD")
        self.refused("log", "import", "demo.readbreak", 1, "none.csv", says="none.csv")
        os.rename("log.csv", "log.txt")
        self.refused("log", "import", "demo.readbreak", "Week 99", "log.txt", says="Week 99")


if __name__ == "__main__":
    unittest.main()
