# SPDX-License-Identifier: GPL-3.0-or-later
"""Each command's ordinary use, its help, and its wrong use."""
import csv
import json
import os
import shutil
import sqlite3
import subprocess
import unittest
import zipfile
from xml.etree import ElementTree

import rig


def commands():
    """The commands that the help lists."""
    listed = []
    for line in rig.run("--help").stdout.splitlines():
        if line.startswith("  ") and "  " in line[2:]:
            listed.append(line[2:].split("  ")[0].split())
    return listed


class Help(rig.Case):
    def test_every_command_explains_itself(self):
        self.assertGreaterEqual(len(commands()), 20)
        for words in commands():
            text = self.done(*words, "--help")
            self.assertIn(f"Usage: readbreak-cli {' '.join(words)}", text)
            self.assertIn("--json", text)
            example = text.split("Example:\n  readbreak-cli ")[1]
            self.assertTrue(example.startswith(" ".join(words)), example)

    def test_help_and_version(self):
        self.assertIn("personal data", self.done("--help"))
        self.assertRegex(self.done("--version"), r"^Readbreak \d+\.\d+\.\d+\n$")
        self.assertEqual(self.done("pairings", "-h"), self.done("pairings", "--help"))


class Misuse(rig.Case):
    def test_command_lines_that_make_no_sense(self):
        self.demo()
        for words in [(), ("nothing",), ("film",), ("playbook", "sing"), ("pairings",),
                      ("pairings", "a", "b"), ("pairings", "demo.readbreak", "--colour"),
                      ("pairings", "demo.readbreak", "-d"), ("ladder", "demo.readbreak", "--down"),
                      ("ladder", "demo.readbreak", "--costliest=yes"),
                      ("tag", "demo.readbreak", "down=3"),
                      ("tag", "demo.readbreak", "--snap", "x", "down=3"),
                      ("tag", "demo.readbreak", "--snap", "1", "down"),
                      ("undo", "demo.readbreak", "--steps", "0"),
                      ("history", "demo.readbreak", "--limit", "many"),
                      ("demo", "other.readbreak", "--seed", "-1"),
                      ("demo", "other.readbreak", "--film-snaps", "some"),
                      ("film", "frame", "x.mp4", "-1"), ("film", "frame", "x.mp4", "1.5"),
                      ("film", "add", "demo.readbreak"), ("report", "demo.readbreak")]:
            self.misused(*words)

    def test_groups_name_their_commands(self):
        self.assertEqual(self.misused("film").count("Usage: readbreak-cli film"), 7)

    def test_a_word_may_start_with_dashes_after_two(self):
        self.done("new", "--", "--odd.readbreak")
        self.assertTrue(os.path.exists("--odd.readbreak"))


class New(rig.Case):
    def test_new_has_words_and_a_playbook_and_no_games(self):
        self.assertEqual(self.json("new", "a.readbreak"), {"library": "a.readbreak"})
        self.assertEqual(self.json("snaps", "a.readbreak"), {"snaps": []})
        self.assertEqual(self.json("pairings", "a.readbreak")["pairings"], [])
        self.assertIsNone(self.json("ladder", "a.readbreak")["break"])
        book = self.json("playbook", "show", "a.readbreak")
        self.assertIn("curl-flat", [concept["token"] for concept in book["concepts"]])
        self.refused("new", "a.readbreak", says="a.readbreak")
        self.refused("undo", "a.readbreak", says="nothing to undo")
        self.refused("ladder", "a.readbreak", "--costliest", says="widen the filter")


class Figures(rig.Case):
    def test_compare_and_worklist(self):
        self.demo()
        root = self.json("compare", "demo.readbreak", "--first", "down=1",
                         "--second", "down=3; distance=7+")
        whole = self.json("ladder", "demo.readbreak", "--down", "1")
        self.assertEqual(root["first"]["dropbacks"], whole["dropbacks"])
        self.assertEqual(root["first"]["cells"], whole["cells"])
        self.assertEqual(root["measures"][0]["measure"], "success")
        text = self.done("compare", "demo.readbreak", "--first", "down=1", "--second", "down=3")
        self.assertIn("Right decision", text)
        self.assertNotIn("nan", text)
        self.misused("compare", "demo.readbreak", "--first", "down=1")
        self.refused("compare", "demo.readbreak", "--first", "down", "--second", "down=3",
                     says="no part of a filter")
        items = self.json("worklist", "demo.readbreak")["items"]
        self.assertGreater(len(items), 3)
        worths = [item["worth"] for item in items]
        self.assertEqual(worths, sorted(worths, reverse=True))
        self.assertTrue(all(item["dropbacks"] >= 5 for item in items))
        self.assertIn(items[0]["sentence"], self.done("worklist", "demo.readbreak"))

    def test_an_empty_library_has_words(self):
        self.done("new", "a.readbreak")
        self.assertIn("tag both", self.done("worklist", "a.readbreak"))
        self.assertIn("Neither side", self.done("compare", "a.readbreak", "--first", "down=1",
                                                "--second", "down=2"))

    def test_pairings_follow_the_contract(self):
        self.demo()
        root = self.json("pairings", "demo.readbreak")
        for one in root["pairings"]:
            self.assertIsInstance(one["concept"], str)
            self.assertIsInstance(one["coverage"], str)
            self.assertIsInstance(one["dropbacks"], int)
            self.assertLessEqual(one["successes"], one["dropbacks"])
            self.assertIsInstance(one["points"], float)
            estimate = one["estimate"]
            self.assertEqual(estimate is None, one["dropbacks"] < 5)
            if estimate is not None:
                self.assertLess(estimate["low_80"], estimate["success"])
                self.assertLess(estimate["success"], estimate["high_80"])
        self.assertEqual(sum(one["dropbacks"] for one in root["pairings"]),
                         root["all"]["dropbacks"])
        downs = [self.json("pairings", "demo.readbreak", "--down", down)["all"]["dropbacks"]
                 for down in (1, 2, 3, 4)]
        self.assertEqual(sum(downs), root["all"]["dropbacks"])
        text = self.done("pairings", "demo.readbreak")
        for one in root["pairings"][:3]:
            self.assertIn(one["coverage"].split("-")[0].capitalize(), text)

    def test_help_shows_what_clear_is_worth(self):
        for command in ("ladder", "worklist"):
            self.assertIn("55 % (28 %)", self.done(command, "--help"))

    def test_the_ladder_is_what_counts(self):
        """--counts yes and no share out the dropbacks, and its yes is the ladder."""
        self.demo()
        yes, no = ([row["snap"] for row in self.json("snaps", "demo.readbreak", "--game", "1",
                                                     "--counts", word)["snaps"]]
                   for word in ("yes", "no"))
        judged = self.json("verdicts", "demo.readbreak", "--game", "1")["verdicts"]
        self.assertEqual(sorted(yes), sorted(row["snap"] for row in judged if row["counts"]))
        self.assertEqual(sorted(yes + no), sorted(row["snap"] for row in judged))
        self.assertEqual(len(yes), self.json("ladder", "demo.readbreak", "--game",
                                             "1")["dropbacks"])
        self.refused("snaps", "demo.readbreak", "--counts", "perhaps", says="perhaps")

    def test_a_filter_is_kept_by_name(self):
        self.demo()
        long = ("--down", "3", "--distance", "7+")
        self.done("filter", "save", "demo.readbreak", "Third and long", *long)
        self.assertIn("Third and long", self.done("filter", "list", "demo.readbreak"))
        kept = self.json("pairings", "demo.readbreak", "--filter", "third and long")
        self.assertEqual(kept["all"], self.json("pairings", "demo.readbreak", *long)["all"])
        self.assertEqual(
            self.json("pairings", "demo.readbreak", "--filter", "third and long", "--down",
                      "2")["all"],
            self.json("pairings", "demo.readbreak", "--down", "2", "--distance", "7+")["all"])
        sides = ("--first", "filter=Third and long", "--second", "down=1")
        self.assertIn("Distance: 7 or more", self.done("compare", "demo.readbreak", *sides))
        self.done("filter", "remove", "demo.readbreak", "third and long")
        self.assertEqual(self.json("filter", "list", "demo.readbreak")["filters"], [])

    def test_tags_of_the_staffs_own(self):
        self.demo()
        library = "demo.readbreak"
        snaps = [one["snap"] for one in self.json("snaps", library, "--down", "3")["snaps"]][:6]
        self.done("tag", library, "--snap", snaps[0], "own-tags=Wet ball, Two-minute")
        for snap in snaps[1:]:
            self.done("tag", library, "--snap", snap, "own-tags=+WET BALL")
        self.done("tag", library, "--snap", snaps[5], "own-tags=-wet ball")
        found = self.json("snaps", library, "--own-tag", "wet ball")["snaps"]
        self.assertEqual([one["snap"] for one in found], snaps[:5])
        self.assertEqual(found[0]["tags"]["own-tags"], "two-minute, wet-ball")
        self.assertEqual(found[1]["tags"]["own-tags"], "wet-ball")
        self.assertNotIn("own-tags", self.json("tag", library, "--snap", snaps[5])["tags"])
        self.done("filter", "save", library, "Rain", "--own-tag", "wet-ball")
        text = self.done("pairings", library, "--filter", "rain")
        self.assertIn("Own tag: Wet ball", text)
        self.done("report", library, "--own-tag", "wet-ball", "--out", "wet.csv")
        with open(os.path.join(self.folder, "wet.csv"), newline="") as file:
            self.assertEqual(list(csv.DictReader(file))[-1]["dropbacks"],
                             str(self.json("pairings", library, "--filter", "rain")["all"]
                                 ["dropbacks"]))
        self.refused("snaps", library, "--own-tag", "dry", says="two-minute or wet-ball")
        self.refused("tag", library, "--snap", snaps[0], "own-tags=a;b", says="cannot be a tag")

    def test_two_people_are_compared(self):
        self.demo()
        snaps = [one["number"] for one in self.json("snaps", "demo.readbreak", "--game", "1")
                 ["snaps"] if one["tags"].get("coverage") == "cover-3"][:4]
        for number in snaps:
            value = "quarters" if number == snaps[0] else "cover-3"
            self.done("tag", "demo.readbreak", "--game", 1, "--snap", number, "--as", "Bo",
                      f"coverage={value}", "rushers=3" if number == snaps[1] else "rushers=4")
        root = self.json("agreement", "demo.readbreak", "Graduate assistant", "Bo", "--game", 1)
        tags = {one["tag"]: one for one in root["tags"]}
        self.assertLessEqual(tags["coverage"]["same"], tags["coverage"]["both"])
        told = [one for one in root["differences"] if one["tag"] == "coverage"]
        self.assertEqual([(one["number"], one["first"], one["second"]) for one in told],
                         [(snaps[0], "cover-3", "quarters")])
        self.assertIn("Kappa", self.done("agreement", "demo.readbreak", "Graduate assistant",
                                         "Bo", "--game", 1))
        self.refused("agreement", "demo.readbreak", "Nobody", "Bo", "--game", 1,
                     says="Graduate assistant")
        self.misused("agreement", "demo.readbreak", "Nobody", "Bo")
        everybody = self.json("agreement", "demo.readbreak", "--game", 1)
        self.assertEqual({one["tag"] for one in everybody["tags"]},
                         {one["tag"] for one in root["tags"]})
        for one in everybody["disagreements"]:
            self.assertEqual(set(one["said"]), {"Graduate assistant", "Bo"})
        self.assertIn("Alpha", self.done("agreement", "demo.readbreak", "--game", 1))

    def test_a_quarterback_adds_up(self):
        self.demo()
        root = self.json("quarterback", "demo.readbreak", "--quarterback", "12")
        self.assertEqual(sum(root["verdicts"].values()), root["dropbacks"])
        self.assertEqual(sum(game["judged"] for game in root["games"]), root["judged"])
        self.assertEqual(sum(one["judged"] for one in root["groups"]["read"]), root["judged"])
        for habit in root["habits"]:
            self.assertEqual(len(habit["snaps"]), habit["times"])
        # R. W. Johnson, UMAP Journal 18(2), 1997: the professional formula, from its parts.
        passing = root["passing"]
        tries = passing["attempts"]
        parts = [(passing["completions"] / tries - 0.3) * 5,
                 (passing["yards"] / tries - 3) * 0.25, passing["touchdowns"] / tries * 20,
                 2.375 - passing["interceptions"] / tries * 25]
        rating = sum(min(max(part, 0), 2.375) for part in parts) / 6 * 100
        self.assertAlmostEqual(passing["rating_pro"], rating, places=6)
        text = self.done("quarterback", "demo.readbreak")
        self.assertIn("Right decisions: ", text)
        self.assertIn("one coach's reading", text)

    def test_ladders_are_partitions(self):
        self.demo()
        for one in self.json("pairings", "demo.readbreak")["pairings"]:
            ladder = self.json("ladder", "demo.readbreak", "--concept", one["concept"],
                               "--coverage", one["coverage"])
            self.assertEqual(ladder["dropbacks"], one["dropbacks"])
            self.assertAlmostEqual(ladder["points"], one["points"], places=9)
            self.assertEqual(sum(cell["dropbacks"] for cell in ladder["cells"]),
                             one["dropbacks"])
            self.assertAlmostEqual(sum(cell["points"] for cell in ladder["cells"]),
                                   one["points"], places=9)
            for cell in ladder["cells"]:
                snaps = self.json("snaps", "demo.readbreak", "--concept", one["concept"],
                                  "--coverage", one["coverage"], "--read", cell["read"],
                                  "--stage", cell["stage"])["snaps"]
                counted = sum(snap["counts"] for snap in snaps)
                self.assertEqual(counted, cell["dropbacks"])

    def test_planted_breaks_are_found(self):
        """Issue: at least 38 of the 40 planted in seeds 1 to 20."""
        found = 0
        for seed in range(1, 21):
            self.demo(seed=seed)
            with open("truth.json", encoding="utf-8") as file:
                truth = json.load(file)
            self.assertEqual(len(truth["planted"]), 2)
            for planted in truth["planted"]:
                ladder = self.json("ladder", "demo.readbreak", "--concept",
                                   planted["concept"], "--coverage", planted["coverage"])
                self.assertGreaterEqual(ladder["dropbacks"], 15)
                worst = ladder["break"]
                self.assertIn(worst["certainty"], ("clear", "leaning", "not-settled"))
                found += (worst["read"], worst["stage"]) == (planted["read"],
                                                            planted["stage"])
        print(f"{found} of 40 planted breaks found")
        self.assertGreaterEqual(found, 38)

    def test_same_seed_same_season(self):
        self.demo("a.readbreak", seed=3)
        os.makedirs("again")
        self.done("demo", "again/b.readbreak", "--seed", 3, "--no-film")
        self.assertEqual(self.json("verdicts", "a.readbreak"),
                         self.json("verdicts", "again/b.readbreak"))
        self.demo("c.readbreak", seed=4)
        self.assertNotEqual(self.json("verdicts", "a.readbreak"),
                            self.json("verdicts", "c.readbreak"))

    def test_verdicts_follow_the_contract(self):
        self.demo()
        verdicts = self.json("verdicts", "demo.readbreak")["verdicts"]
        snaps = {snap["snap"]: snap for snap in
                 self.json("snaps", "demo.readbreak")["snaps"]}
        with open("truth.json", encoding="utf-8") as file:
            truth = {snap["snap"]: snap for snap in json.load(file)["snaps"]}
        self.assertGreater(len(verdicts), 180)
        graded = 0
        for one in verdicts:
            self.assertRegex(one["snap"], r"^[1-9]\d*$")
            self.assertIn(one["snap"], snaps)
            self.assertIsInstance(one["right_read"], int)
            self.assertIsInstance(one["reasons"], list)
            self.assertIsInstance(one["settle"], list)
            unsettled = one["stage"] == "not-judged" and one["verdict"] != "spoiled"
            self.assertEqual(unsettled, one["settle"] != [])
            self.assertEqual(one["ball"], snaps[one["snap"]]["tags"].get("ball"))
            if one["verdict"] not in ("ungraded", "spoiled"):
                graded += 1
                self.assertNotEqual(one["reasons"], [])
        self.assertGreater(graded, 120)
        self.assertLessEqual(set(truth), {one["snap"] for one in verdicts})
        self.assertIn("Verdict", self.done("verdicts", "demo.readbreak"))
        self.assertIn("order in force",
                      self.done("verdicts", "demo.readbreak", "--reasons"))

    def test_filters(self):
        self.demo()
        every = self.json("verdicts", "demo.readbreak")["verdicts"]
        eyes = self.json("verdicts", "demo.readbreak", "--stage", "eyes")["verdicts"]
        self.assertEqual(eyes, [one for one in every if one["stage"] == "eyes"])
        both = self.json("verdicts", "demo.readbreak", "--verdict", "late,held")["verdicts"]
        self.assertEqual(both, [one for one in every if one["verdict"] in ("late", "held")])
        twice = self.json("verdicts", "demo.readbreak", "--verdict", "late", "--verdict",
                          "held")["verdicts"]
        self.assertEqual(twice, both)
        games = [self.json("verdicts", "demo.readbreak", f"--game={game}")["verdicts"]
                 for game in range(1, 7)]
        self.assertEqual(sum(games, []), every)
        self.refused("pairings", "demo.readbreak", "--game", "7", says="from 1 to 6")
        self.refused("pairings", "demo.readbreak", "--concept", "wish", says="smash")
        self.refused("pairings", "demo.readbreak", "--distance", "10-7", says="10-7")
        self.refused("pairings", "demo.readbreak", "--quarterback", "0", says="player")

    def test_report(self):
        self.demo()
        self.done("report", "demo.readbreak", "--out", "page.html", "--title", "Week <7>")
        subprocess.run(["xmllint", "--noout", "page.html"], check=True)
        with open("page.html", encoding="utf-8") as file:
            self.assertIn("Week &lt;7&gt;", file.read())
        self.done("report", "demo.readbreak", "--out", "page.pdf", "--down", "3")
        text = subprocess.run(["pdftotext", "page.pdf", "-"], capture_output=True,
                              text=True, check=True).stdout
        self.assertIn("Down: 3", text)
        self.refused("report", "demo.readbreak", "--out", "page.doc", says=".pdf")
        self.refused("report", "demo.readbreak", "--out", "none/page.html", says="none")

    def test_report_kinds(self):
        self.demo()
        for kind, out in [("page", "k.html"), ("page", "k.pdf"), ("book", "book.pdf"),
                          ("call-sheet", "calls.pdf"), ("figures", "t.csv"),
                          ("figures", "t.xlsx"), ("table-chart", "t.svg"),
                          ("table-chart", "t.png")]:
            self.done("report", "demo.readbreak", "--kind", kind, "--out", out)
        self.done("report", "demo.readbreak", "--kind", "ladder-chart", "--costliest",
                  "--out", "l.svg")
        self.done("report", "demo.readbreak", "--kind", "pairing", "--costliest",
                  "--out", "p.pdf")
        subprocess.run(["xmllint", "--noout", "t.svg", "l.svg"], check=True)
        named = self.pdf_text("p.pdf")
        self.assertIn("Page 1 of 1", named)
        self.assertIn("Quarterback", named)
        self.done("report", "demo.readbreak", "--kind", "pairing", "--costliest",
                  "--quarterback", "12", "--without-names", "--out", "n.pdf")
        nameless = self.pdf_text("n.pdf")
        self.assertIn("Quarterback: name left out", nameless)
        self.assertNotIn("Quarterback: 12", nameless)
        self.refused("report", "demo.readbreak", "--kind", "book", "--out", "b.html",
                     says=".pdf")
        self.misused("report", "demo.readbreak", "--kind", "poem", "--out", "b.pdf")

    def test_spreadsheets_agree(self):
        self.demo()
        self.done("report", "demo.readbreak", "--out", "t.csv")
        self.done("report", "demo.readbreak", "--out", "t.xlsx")
        with open("t.csv", encoding="utf-8", newline="") as file:
            rows = list(csv.reader(file))
        cells = self.json("pairings", "demo.readbreak")["pairings"]
        listed = [row for row in rows[1:] if "All" not in row[:2]]
        self.assertEqual(len(listed), len(cells))
        self.assertEqual(sum(int(row[2]) for row in listed), int(rows[-1][2]))
        self.assertEqual(rows[0][7:11], ["estimate", "estimate low", "estimate high", "below"])
        for row, cell in zip(listed, cells):
            self.assertLess(float(row[8]), float(row[7]))
            self.assertLess(float(row[7]), float(row[9]))
            if cell["estimate"] is not None:
                self.assertAlmostEqual(float(row[7]), cell["estimate"]["success"], 12)
        sheet = self.sheet_rows("t.xlsx")
        self.assertEqual(len(sheet), len(rows))
        self.assertEqual(sheet[0], rows[0])
        for ours, theirs in zip(sheet[1:], rows[1:]):
            self.assertEqual(ours[:2], theirs[:2])
            for number, text in zip(ours[2:], theirs[2:]):
                self.assertEqual(number is None, text == "")
                self.assertTrue(number is None or abs(number - float(text)) < 1e-12)

    def pdf_text(self, path):
        return subprocess.run(["pdftotext", "-layout", path, "-"], capture_output=True,
                              text=True, check=True).stdout

    def sheet_rows(self, path):
        """The first sheet by the standard's own parts (ECMA-376): numbers as numbers."""
        main = "{http://schemas.openxmlformats.org/spreadsheetml/2006/main}"
        with zipfile.ZipFile(path) as book:
            shared = ["".join(part.text or "" for part in item.iter(main + "t"))
                      for item in ElementTree.fromstring(book.read("xl/sharedStrings.xml"))]
            sheet = ElementTree.fromstring(book.read("xl/worksheets/sheet1.xml"))
        rows = []
        for row in sheet.iter(main + "row"):
            values = [None] * 22
            for cell in row:
                column = ord(cell.get("r").rstrip("0123456789")) - ord("A")
                value = cell.find(main + "v").text
                values[column] = shared[int(value)] if cell.get("t") == "s" else value
                if column > 1 and rows:
                    self.assertIn(cell.get("t"), (None, "n"))
                    values[column] = float(value)
            rows.append(values)
        return rows

    def test_costliest_is_one_of_the_planted(self):
        self.demo()
        with open("truth.json", encoding="utf-8") as file:
            planted = json.load(file)["planted"]
        worst = self.json("ladder", "demo.readbreak", "--costliest")["break"]
        self.assertIn((worst["read"], worst["stage"]),
                      [(one["read"], one["stage"]) for one in planted])


class Tagging(rig.Case):
    def snap(self):
        return self.json("snaps", "demo.readbreak", "--concept", "smash")["snaps"][0]

    def test_tags_are_set_shown_undone_and_redone(self):
        self.demo()
        snap = self.snap()
        number = ("--snap", snap["snap"])
        other = "cover-1" if snap["tags"]["coverage"] != "cover-1" else "cover-3"
        set_ = self.json("tag", "demo.readbreak", *number, f"coverage={other}", "--as",
                         "Second coach")
        self.assertEqual(set_["tags"]["coverage"], other)
        self.assertRegex(set_["changed"], r"^coverage of snap \d+ changed from .* to ")
        self.assertEqual(set_["tags"]["read-1"], snap["tags"]["read-1"])
        shown = self.json("tag", "demo.readbreak", *number)
        self.assertEqual(self.snap()["tags"]["coverage"], other)
        newest = self.json("history", "demo.readbreak", "--limit", 1)["history"][0]
        self.assertEqual((newest["who"], newest["words"], newest["undone"]),
                         ("Second coach", set_["changed"], False))
        self.assertIn(set_["changed"], self.json("undo", "demo.readbreak")["done"][0])
        self.assertEqual(self.snap()["tags"], snap["tags"])
        self.assertTrue(self.json("history", "demo.readbreak")["history"][1]["undone"])
        self.assertIn(set_["changed"], self.json("redo", "demo.readbreak")["done"][0])
        self.assertEqual(self.snap()["tags"]["coverage"], other)
        self.assertIsNone(shown["changed"])
        self.refused("redo", "demo.readbreak", says="nothing to redo")

    def test_a_snap_by_game_and_number(self):
        self.demo()
        snap = self.snap()
        games = {}
        for one in self.json("snaps", "demo.readbreak")["snaps"]:
            games.setdefault(one["game"], len(games) + 1)
        shown = self.json("tag", "demo.readbreak", "--game", games[snap["game"]], "--snap",
                          snap["number"])
        self.assertEqual(shown["snap"], snap["snap"])
        self.assertEqual(shown["tags"], snap["tags"])

    def test_bad_tags_change_nothing(self):
        self.demo()
        snap = ("--snap", self.snap()["snap"])
        self.done("tag", "demo.readbreak", *snap, "note=first")
        for word, says in [("coverage=cover-9", "cover-3"), ("down=5", "from 1 to 4"),
                           ("colour=red", "left-technique"), ("release=soon", "seconds"),
                           ("ball=read-9", "read-8")]:
            self.refused("tag", "demo.readbreak", *snap, "note=second", word, says=says)
        self.refused("tag", "demo.readbreak", "--snap", "12345", "down=1", says="12345")
        self.refused("tag", "demo.readbreak", "--game", "1", "--snap", "999", "down=1",
                     says="no snap 999")
        self.assertEqual(self.json("tag", "demo.readbreak", *snap)["tags"]["note"], "first")

    def test_a_tag_settles_an_ungraded_snap(self):
        self.demo()
        verdicts = self.json("verdicts", "demo.readbreak", "--verdict", "ungraded")
        settled = 0
        for one in verdicts["verdicts"]:
            field = one["settle"][0]
            if field.startswith("read-"):
                after = self.json("tag", "demo.readbreak", "--snap", one["snap"],
                                  f"{field}=covered")
                settled += after["verdict"] != "ungraded" or after["settle"] != [field]
        print(f"{settled} of {len(verdicts['verdicts'])} ungraded snaps moved on")
        self.assertGreater(settled, 0)

    def test_a_decision_is_explained(self):
        self.demo()
        verdicts = [one for one in self.json("verdicts", "demo.readbreak")["verdicts"]
                    if one["concept"]]
        for one in verdicts[:40]:
            told = self.json("verdict", "explain", "demo.readbreak", one["snap"])
            for key in ("verdict", "stage", "right_read", "reasons", "settle", "snap"):
                self.assertEqual(told[key], one[key])
            kinds = [step["step"] for step in told["steps"]]
            self.assertEqual(kinds[:4], ["call", "shown", "played", "written"])
            self.assertLess(kinds.index("order"), kinds.index("right"))
            self.assertLess(kinds.index("ball"), kinds.index("verdict"))
        text = self.done("verdict", "explain", "demo.readbreak", one["snap"])
        for label in ("Called", "Shown", "Played", "As written", "In force", "Right read",
                      "Ball", "Pressure", "Verdict"):
            self.assertIn(f"\n{label} ", text)
        self.refused("verdict", "explain", "demo.readbreak", "12345", says="12345")
        self.refused("verdict", "explain", "demo.readbreak", "999", "--game", "1",
                     says="no snap 999")

    def test_a_decision_nobody_filmed_is_judged(self):
        self.demo()
        said = ("--shell", "one-high", "--coverage", "cover-3", "--read-1", "covered",
                "--read-2", "open", "--ball", "read-2", "--release", "2.9",
                "--right-technique", "off", "--left-technique", "off",
                "--safety-right", "no", "--safety-left", "no", "--rotation-shown", "none",
                "--right-cushion", "7", "--left-cushion", "7", "--hash", "middle")
        told = self.json("verdict", "try", "demo.readbreak", "smash", *said)
        self.assertEqual((told["verdict"], told["right_read"]), ("on-read", 2))
        late = self.json("verdict", "try", "demo.readbreak", "smash", *said, "--release",
                         "3.9")
        self.assertEqual(late["verdict"], "late")
        tags = {"concept": "smash"}
        tags.update({word[2:]: value for word, value in zip(said[::2], said[1::2])})
        with open("picture.json", "w", encoding="utf-8") as file:
            json.dump({"tags": tags}, file)
        self.assertEqual(self.json("verdict", "try", "demo.readbreak", "--file",
                                   "picture.json"), told)
        # What tag --json prints of a snap can be tried again: the same verdict comes out.
        snap = self.json("tag", "demo.readbreak", "--snap", self.snap()["snap"])
        with open("snap.json", "w", encoding="utf-8") as file:
            json.dump(snap, file)
        again = self.json("verdict", "try", "demo.readbreak", "--file", "snap.json")
        self.assertEqual(again["verdict"], snap["verdict"])

    def test_a_measured_split_is_said_and_waits(self):
        self.demo()
        concept = {"token": "outs", "name": "Outs", "reads": [
            {"number": 1, "route": "quick-out", "runner": "1",
             "clock": {"ms": 1600, "tolerance_ms": 250}},
            {"number": 2, "route": "check-down", "runner": "back", "outlet": True,
             "clock": {"ms": 2400, "tolerance_ms": 400}}],
            "rules": [{"do": "drop", "read": 1,
                       "if": [{"that": "split-at-least", "is": 100}]}]}
        with open("outs.json", "w", encoding="utf-8") as file:
            json.dump({"format": "readbreak-playbook", "version": 1, "concepts": [concept]}, file)
        self.done("playbook", "import", "demo.readbreak", "outs.json")
        self.assertIn("the split on its side is at least 10 yards",
                      self.done("playbook", "show", "demo.readbreak", "outs"))
        said = ("--coverage", "cover-3", "--read-1", "open", "--read-2", "open",
                "--ball", "read-1", "--release", "1.7", "--pressure", "none", "--contact", "none",
                "--side-worked", "left", "--throw", "on-target", "--catch", "caught",
                "--fault", "none", "--left-split")
        told = self.json("verdict", "try", "demo.readbreak", "outs", *said, "8.6",
                         "--left-split-error", "0.4")
        self.assertEqual((told["verdict"], told["settle"]), ("on-read", []))
        self.assertIn("The split of the outside receiver on the left was measured 8.6 ± 0.4 yd.",
                      told["reasons"])
        waits = self.json("verdict", "try", "demo.readbreak", "outs", *said, "9.8",
                          "--left-split-error", "0.4")
        self.assertEqual((waits["verdict"], waits["settle"]), ("ungraded", ["left-split"]))
        self.assertTrue(any("measured 9.8 ± 0.4 yd" in one and "waits for a person" in one
                            for one in waits["reasons"]), waits["reasons"])
        far = self.json("verdict", "try", "demo.readbreak", "outs", *said, "10.8",
                        "--left-split-error", "0.4")
        self.assertEqual(far["verdict"], "forced")
        person = self.json("verdict", "try", "demo.readbreak", "outs", *said, "9.8")
        self.assertEqual(person["verdict"], "on-read")

    def test_a_try_that_makes_no_sense(self):
        self.demo()
        self.refused("verdict", "try", "demo.readbreak", "smash", "--coverage", "cover-99",
                     says="cover-3")
        with open("broken.json", "w", encoding="utf-8") as file:
            file.write('{"coverage":\n')
        self.refused("verdict", "try", "demo.readbreak", "smash", "--file", "broken.json",
                     says="line 2")
        self.refused("verdict", "try", "demo.readbreak", "smash", "--file", "none.json",
                     says="none.json")

    def test_many_undos_at_once(self):
        self.demo()
        before = self.json("snaps", "demo.readbreak")
        snap = ("--snap", self.snap()["snap"])
        for gain in range(3):
            self.done("tag", "demo.readbreak", *snap, f"note=number {gain}")
        done = self.json("undo", "demo.readbreak", "--steps", 3)["done"]
        self.assertEqual(len(done), 3)
        self.assertEqual(self.json("snaps", "demo.readbreak"), before)

    def test_check_finds_a_planted_error_once(self):
        self.demo()
        self.assertEqual(self.json("check", "demo.readbreak")["findings"], [])
        snaps = [one for one in self.json("snaps", "demo.readbreak", "--game", 2)["snaps"]
                 if one["tags"].get("result") == "complete"
                 and one["tags"]["ending"] == "none" and int(one["tags"]["gain"]) > 2]
        snap = snaps[len(snaps) // 2]
        self.done("tag", "demo.readbreak", "--snap", snap["snap"], "result=sack")
        findings = self.json("check", "demo.readbreak", "--game", 2)["findings"]
        about = [one["field"] for one in findings if one["snap"] == snap["snap"]]
        self.assertIn("ball", about)
        self.assertEqual(self.json("check", "demo.readbreak", "--game", 3)["findings"], [])
        self.assertIn("the result is", self.done("check", "demo.readbreak"))

    def test_check_proposes_repairs_and_carries_one_out(self):
        self.demo()
        snaps = self.json("snaps", "demo.readbreak", "--game", 2)["snaps"]
        at = next(i for i in range(2, len(snaps) - 1)
                  if snaps[i]["tags"].get("result") == "run"
                  and snaps[i]["tags"].get("down") in ("1", "2")
                  and int(snaps[i + 1]["tags"].get("down", "0")) > 1)
        snap = snaps[at]
        wrong = str(int(snap["tags"]["gain"]) + 3)
        self.done("tag", "demo.readbreak", "--snap", snap["snap"], "gain=" + wrong)
        found = self.json("check", "demo.readbreak", "--game", 2)["findings"]
        repairs = [one for finding in found for one in finding["repairs"]]
        self.assertEqual([one["repair"] for one in repairs],
                         list(range(1, len(repairs) + 1)))
        right = next(one for one in repairs if one["left"] == 0 and "the gain of" in
                     one["sentence"])
        self.misused("check", "demo.readbreak", "--repair", 1)
        done = self.done("check", "demo.readbreak", "--game", 2, "--repair",
                         right["repair"])
        self.assertEqual(done.strip(), right["sentence"])
        self.assertEqual(self.json("check", "demo.readbreak", "--game", 2)["findings"], [])
        self.done("undo", "demo.readbreak")
        self.assertEqual(self.json("check", "demo.readbreak", "--game", 2)["findings"],
                         found)


class Keeping(rig.Case):
    def test_backup_and_restore(self):
        self.demo()
        path = self.json("backup", "demo.readbreak")["backup"]
        self.assertTrue(os.path.isfile(path))
        self.assertIn(path, self.json("backup", "demo.readbreak", "--list")["backups"])
        self.done("restore", path, "again.readbreak")
        self.assertEqual(self.json("verdicts", "again.readbreak"),
                         self.json("verdicts", "demo.readbreak"))
        self.refused("restore", path, "again.readbreak", says="again.readbreak")
        self.refused("restore", "none.readbreak", "new.readbreak", says="none.readbreak")

    def test_playbook_goes_out_and_comes_in(self):
        self.demo()
        self.done("playbook", "export", "demo.readbreak", "book.json")
        self.assertEqual(self.json("playbook", "check", "book.json"), {"concepts": 8})
        self.assertEqual(self.json("playbook", "import", "demo.readbreak", "book.json"),
                         {"changed": 0})
        with open("book.json", encoding="utf-8") as file:
            book = json.load(file)
        self.assertEqual(self.json("playbook", "show", "demo.readbreak"), book)
        book["concepts"][0]["name"] = "Another name"
        with open("book.json", "w", encoding="utf-8") as file:
            json.dump(book, file)
        self.assertEqual(self.json("playbook", "import", "demo.readbreak", "book.json"),
                         {"changed": 1})
        self.assertIn("Another name", self.done("playbook", "show", "demo.readbreak"))
        token = book["concepts"][0]["token"]
        self.assertIn("Another name",
                      self.done("playbook", "show", "demo.readbreak", token))
        self.refused("playbook", "export", "demo.readbreak", "book.json", says="exists")

    def test_a_game_is_added_once_and_film_can_go_to_it(self):
        self.done("new", "empty.readbreak")
        added = self.json("game", "add", "empty.readbreak", "Week 3 at Harbor City",
                          "2026-09-12", "--them", "Harbor City", "--rules", "high-school")
        self.assertIn("Week 3 at Harbor City", added["words"])
        self.assertEqual(self.json("snaps", "empty.readbreak", "--game", "1")["snaps"], [])
        self.refused("game", "add", "empty.readbreak", "Week 3 at Harbor City", "2026-09-12",
                     says="already")
        self.refused("game", "add", "empty.readbreak", "Week 4", "soon", says="not a date")
        self.misused("game", "add", "empty.readbreak", "Week 4", "2026-09-19", "--rules", "own")
        self.done("undo", "empty.readbreak")
        self.refused("snaps", "empty.readbreak", "--game", "1", says="game")

    def test_tags_the_staff_requires_are_listed_where_they_are_missing(self):
        self.demo()
        first = self.json("required", "demo.readbreak")["required"]
        self.assertIn("coverage", first)
        self.assertNotIn("motion", first)
        complete = self.json("check", "demo.readbreak", "--open")["findings"]
        self.assertFalse([f for f in complete if f["field"] == "coverage"])
        snap = next(s for s in self.json("snaps", "demo.readbreak")["snaps"])["snap"]
        self.done("tag", "demo.readbreak", "--snap", snap, "coverage=-")
        lacking = self.json("check", "demo.readbreak", "--open")["findings"]
        self.assertIn("Coverage", next(f["sentence"] for f in lacking if f["snap"] == snap))
        changed = self.json("required", "demo.readbreak", "coverage=no", "motion=yes")
        self.assertIn("motion", changed["required"])
        self.assertNotIn("coverage", changed["required"])
        self.assertIn("required", self.json("history", "demo.readbreak")["history"][0]["words"])
        self.assertFalse([f for f in self.json("check", "demo.readbreak", "--open")["findings"]
                          if "not tagged yet: Coverage" in f["sentence"]])
        self.done("undo", "demo.readbreak")
        self.assertEqual(self.json("required", "demo.readbreak")["required"], first)
        self.refused("required", "demo.readbreak", "weather=yes", says="weather")
        self.misused("required", "demo.readbreak", "coverage")

    def test_footwork_of_the_staff_moves_a_verdict_and_undo_brings_it_back(self):
        self.demo()
        said = ("--shell", "one-high", "--coverage", "cover-3", "--read-1", "covered",
                "--read-2", "open", "--ball", "read-2", "--release", "2.9",
                "--right-technique", "off", "--left-technique", "off",
                "--safety-right", "no", "--safety-left", "no", "--rotation-shown", "none",
                "--right-cushion", "7", "--left-cushion", "7", "--hash", "middle")

        def seen():
            return (self.json("verdict", "try", "demo.readbreak", "smash", *said)["verdict"],
                    self.json("verdicts", "demo.readbreak"),
                    self.done("playbook", "show", "demo.readbreak", "smash"),
                    self.json("footwork", "demo.readbreak"))

        def late(answer):
            return sum(one["verdict"] == "late" for one in answer["verdicts"])

        before = seen()
        self.assertEqual(before[0], "on-read")
        self.assertIsNone(before[3]["changed"])
        self.assertFalse(any(line["ours"] for line in before[3]["footwork"]))
        self.assertTrue(all("no source" in line["source"] for line in before[3]["footwork"]))
        changed = self.json("footwork", "demo.readbreak", "gun-1=0.7", "gun-3=1", "gun-5=1.2",
                            "hitch=0.2")
        self.assertIn("3 steps from the gun 1.00 s instead of 2.20 s", changed["changed"])
        ours = {line["key"]: line["ms"] for line in changed["footwork"] if line["ours"]}
        self.assertEqual(ours, {"gun-1": 700, "gun-3": 1000, "gun-5": 1200, "hitch": 200})
        after = seen()
        self.assertEqual(after[0], "late")
        self.assertGreater(late(after[1]), late(before[1]))
        self.assertNotEqual(after[2], before[2])
        text = self.done("footwork", "demo.readbreak")
        self.assertRegex(text, r"gun-3 +1\.00 s +ours; the default is 2\.20 s")
        self.assertRegex(text, r"centre-5 +2\.40 s +default: .*no source")
        self.assertIn("Footwork: ", self.done("history", "demo.readbreak", "--limit", "1"))
        self.done("undo", "demo.readbreak")
        self.assertEqual(seen(), before)
        self.done("redo", "demo.readbreak")
        self.assertEqual(seen()[:3], after[:3])
        self.done("footwork", "demo.readbreak", "gun-1=default", "gun-3=default",
                  "gun-5=default", "hitch=default")
        self.assertEqual(seen(), before)
        self.assertIn("Nothing changed", self.done("footwork", "demo.readbreak", "hitch=0.4"))

    def test_footwork_that_makes_no_sense(self):
        self.demo()
        self.done("footwork", "demo.readbreak", "hitch=0.45")
        for words, says in ((["gun-3"], "KEY=SECONDS"), (["gun-0=2"], "gun-0"),
                            (["gun-10=2"], "1 to 9"), (["pistol-3=2"], "pistol-3"),
                            (["gun-3=soon"], "soon"), (["gun-3="], "0.3 to 10"),
                            (["gun-3=0.2"], "0.3 to 10"), (["gun-3=11"], "11"),
                            (["gun-3=nan"], "nan"), (["gun-3=2,2"], "2,2"),
                            (["gun-3=1e0"], "1e0"), (["gun-3=99999999999"], "0.3 to 10"),
                            (["hitch=-0.4"], "0.1 to 2"), (["hitch=2.01"], "0.1 to 2"),
                            (["gun-3=3.5"], "more steps must take more time"),
                            (["hitch=0.5", "centre-5=1.5"], "1.50 s")):
            self.refused("footwork", "demo.readbreak", *words, says=says)
        self.refused("footwork", "none.readbreak", "hitch=0.5", says="none.readbreak")
        self.misused("footwork")

    def test_concept_is_drawn_on_a_page(self):
        self.done("new", "a.readbreak")
        for name, start in (("a.pdf", b"%PDF-"), ("a.svg", b"<?xml"), ("a.png", b"\x89PNG")):
            self.done("playbook", "page", "a.readbreak", "smash", name, "--side", "left",
                      "--shell", "two-high", "--left", "squat", "--rules", "pro")
            with open(name, "rb") as file:
                self.assertEqual(file.read(len(start)), start)
        with open("a.svg", encoding="utf-8") as file:
            drawn = file.read()
        for words in ("Smash", "Two high, squat corner left.", "Reads in order", "squat"):
            self.assertIn(words, drawn)
        self.refused("playbook", "page", "a.readbreak", "smash", "a.pdf", says="exists")
        self.refused("playbook", "page", "a.readbreak", "smash", "a.doc", says=".pdf")
        self.refused("playbook", "page", "a.readbreak", "nothing", "b.pdf", says="nothing")
        self.refused("playbook", "page", "a.readbreak", "smash", "b.pdf", "--coverage", "x",
                     says="x")

    def test_playbook_whose_rule_names_a_missing_read(self):
        self.demo()
        self.done("playbook", "export", "demo.readbreak", "book.json")
        with open("book.json", encoding="utf-8") as file:
            book = json.load(file)
        concept = next(one for one in book["concepts"] if one.get("rules"))
        rule = next(one for one in concept["rules"] if "read" in one)
        rule["read"] = 7
        with open("book.json", "w", encoding="utf-8") as file:
            json.dump(book, file, indent=1)
        self.done("backup", "demo.readbreak")
        self.refused("playbook", "check", "book.json", says="read 7")
        self.assertRegex(self.refused("playbook", "import", "demo.readbreak", "book.json",
                                      says="read 7"), r"Line \d+")

    def test_a_library_of_a_newer_version_is_left_alone(self):
        self.demo()
        with sqlite3.connect("demo.readbreak") as database:
            database.execute("PRAGMA journal_mode = DELETE")
            database.execute("PRAGMA user_version = 9999")
        database.close()
        for words in [("pairings",), ("history",), ("undo",), ("backup",),
                      ("tag", "--snap", "1", "down=1")]:
            self.refused(words[0], "demo.readbreak", *words[1:], says="newer")

    def test_what_is_no_library(self):
        with open("text.readbreak", "w", encoding="utf-8") as file:
            file.write("not a library\n" * 100)
        with open("empty.readbreak", "w", encoding="utf-8"):
            pass
        os.mkdir("folder.readbreak")
        with sqlite3.connect("other.readbreak") as database:
            database.execute("CREATE TABLE t (x)")
        database.close()
        for name in ("text", "empty", "folder", "other", "missing"):
            for command in ("pairings", "undo", "check"):
                self.refused(command, f"{name}.readbreak", says=f"{name}.readbreak")

    def test_a_full_output_is_noticed(self):
        self.demo()
        with open("/dev/full", "w", encoding="utf-8") as full:
            result = subprocess.run([rig.CLI, "verdicts", "demo.readbreak"], stdout=full,
                                    stderr=subprocess.PIPE, text=True, check=False)
        self.assertEqual(result.returncode, 1)
        self.assertIn("disk may be full", result.stderr)

    def test_demo_replaces_nothing(self):
        with open("truth.json", "w", encoding="utf-8") as file:
            file.write("mine")
        self.refused("demo", "a.readbreak", "--no-film", says="truth.json")
        os.remove("truth.json")
        os.mkdir("a film")
        self.refused("demo", "a.readbreak", says="a film")
        shutil.copy(self.demo("b.readbreak"), "a.readbreak")
        os.remove("truth.json")
        self.refused("demo", "a.readbreak", "--no-film", says="a.readbreak")
        self.refused("demo", "none/a.readbreak", "--no-film", says="none")


unittest.addModuleCleanup(rig.remove_demos)
if __name__ == "__main__":
    unittest.main(verbosity=1)
