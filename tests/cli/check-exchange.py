# SPDX-License-Identifier: GPL-3.0-or-later
"""Laptops of one staff and the folder they share."""
import contextlib
import os
import shutil
import sqlite3
import unittest

import rig


class Exchange(rig.Case):
    def setUp(self):
        super().setUp()
        os.mkdir("folder")
        self.demo("ann.readbreak")
        self.send("ann")
        self.done("new", "bo.readbreak", "--as", "Bo")
        self.receive("bo")

    def send(self, who):
        return self.json("exchange", "send", f"{who}.readbreak", "folder", "--as",
                         who.capitalize())

    def receive(self, who):
        return self.json("exchange", "receive", f"{who}.readbreak", "folder", "--as",
                         who.capitalize())

    def tag(self, who, snap, *tags):
        self.done("tag", f"{who}.readbreak", "--game", 1, "--snap", snap, *tags, "--as",
                  who.capitalize())

    def value(self, who, snap, tag):
        """Of the chart that counts."""
        found = self.json("tag", f"{who}.readbreak", "--game", 1, "--snap", snap)
        return found["tags"].get(tag)

    def own_value(self, who, snap, tag, person):
        found = self.json("tag", f"{who}.readbreak", "--game", 1, "--snap", snap, "--as",
                          person)
        return found["tags"].get(tag)

    def charts(self, who, snap):
        """Author and coverage of every chart of a snap of the first game."""
        with contextlib.closing(sqlite3.connect(f"{who}.readbreak")) as library:
            return set(library.execute(
                "SELECT p.name, t.token FROM chart c JOIN person p ON p.id = c.author"
                " JOIN term t ON t.id = c.coverage JOIN snap s ON s.id = c.snap"
                " WHERE c.removed = 0 AND s.number = ? AND s.game ="
                " (SELECT id FROM game ORDER BY played_on LIMIT 1)", (snap,)))

    def test_a_new_laptop_joins_from_the_folder_alone(self):
        for command in (["pairings"], ["snaps"], ["verdicts"]):
            mine = self.json(*command, "ann.readbreak")
            theirs = self.json(*command, "bo.readbreak")
            self.assertEqual(mine, theirs)

    def test_new_libraries_start_alike(self):
        """What the program puts into every library is one laptop's work, everywhere."""
        self.done("new", "cy.readbreak", "--as", "Cy")
        self.done("new", "di.readbreak", "--as", "Di")
        os.mkdir("other")
        self.json("exchange", "send", "cy.readbreak", "other")
        files = rig.fingerprint("other")
        self.json("exchange", "send", "di.readbreak", "other")
        self.assertEqual(rig.fingerprint("other"), files)
        result = self.json("exchange", "receive", "di.readbreak", "other")
        self.assertEqual((result["actions"], result["files"]), (0, []))

    def test_repeating_changes_nothing(self):
        before = rig.fingerprint("folder")
        self.assertEqual(self.send("ann")["files"], 0)
        self.assertEqual(rig.fingerprint("folder"), before)
        again = self.receive("bo")
        self.assertEqual((again["actions"], again["files"], again["disputes"]), (0, [], []))

    def test_two_who_tag_the_same_night_end_with_one_chart_each(self):
        self.tag("ann", 3, "coverage=quarters")
        self.tag("bo", 3, "coverage=two-man")
        self.tag("bo", 4, "down=2")
        self.send("ann")
        self.send("bo")
        self.assertEqual(self.receive("bo")["disputes"], [])
        self.assertEqual(self.receive("ann")["disputes"], [])
        for who in ("ann", "bo"):
            self.assertLessEqual({("Ann", "quarters"), ("Bo", "two-man")},
                                 self.charts(who, 3))
            self.assertEqual(self.value(who, 3, "coverage"), "two-man")  # the newest counts
            self.assertEqual(self.own_value(who, 3, "coverage", "Ann"), "quarters")
            self.assertEqual(self.own_value(who, 3, "coverage", "Bo"), "two-man")
        self.assertEqual(self.value("ann", 4, "down"), self.value("bo", 4, "down"))

    def test_a_fact_told_twice_is_settled_by_a_person(self):
        self.tag("ann", 5, "down=2")
        self.tag("bo", 5, "down=3")
        self.send("ann")
        self.send("bo")
        mine = self.receive("ann")["disputes"]
        theirs = self.receive("bo")["disputes"]
        self.assertEqual(mine, theirs)
        self.assertEqual(len(mine), 1)
        self.assertIn("Snap 5 of ", mine[0]["what"])
        self.assertEqual([(v["value"], v["who"]) for v in mine[0]["values"]],
                         [("3", "Bo"), ("2", "Ann")])
        self.assertEqual(self.value("ann", 5, "down"), "3")
        self.done("exchange", "settle", "ann.readbreak", 1, 2, "--as", "Ann")
        self.assertEqual(self.value("ann", 5, "down"), "2")
        self.send("ann")
        self.assertEqual(self.receive("bo")["disputes"], [])
        self.assertEqual(self.value("bo", 5, "down"), "2")
        self.assertIn("settled", self.done("history", "bo.readbreak", "--limit", 1))

    def test_a_damaged_file_is_named_and_the_rest_taken(self):
        self.tag("ann", 6, "down=2")
        self.send("ann")
        self.tag("ann", 7, "down=3")
        self.send("ann")
        files = sorted(os.listdir("folder"), key=lambda f: int(f.split("-")[1]))
        with open(f"folder/{files[-1]}", "rb") as file:
            whole = file.read()
        with open(f"folder/{files[-1]}", "wb") as file:
            file.write(whole[:-1] + b"x")
        result = self.receive("bo")
        self.assertEqual(result["refused"], 1)
        self.assertIn(files[-1], [f["file"] for f in result["files"]])
        self.assertEqual(self.value("bo", 6, "down"), "2")
        # Whoever wrote it notices, and writes it again.
        self.assertTrue(self.send("ann")["anew"])
        self.assertEqual(self.receive("bo")["refused"], 0)
        self.assertEqual(self.value("bo", 7, "down"), "3")

    def test_what_lies_in_the_folder_otherwise_is_left_alone(self):
        shutil.copy("truth.json", "folder/notes.txt")
        os.mkdir("folder/1-1-2.rbwork")
        os.symlink("/dev/zero", "folder/2-1-2.rbwork")
        os.mkfifo("folder/3-1-2.rbwork")
        shutil.copy("ann.readbreak", "folder/4-1-2.rbwork")
        first = sorted(f for f in os.listdir("folder") if len(f) > 20)[0]
        shutil.copy(f"folder/{first}", "folder/5-1-2.rbwork")
        result = self.receive("bo")
        self.assertEqual(result["refused"], 5)
        for file in result["files"]:
            self.assertTrue(file["why"].endswith("."), file)

    def test_many_small_files_are_put_together(self):
        for number in range(1, 56):
            self.tag("ann", 5, f"down={number % 4 + 1}")
            self.send("ann")
        files = os.listdir("folder")
        self.assertLess(len(files), 51)
        self.receive("bo")
        self.assertEqual(self.value("bo", 5, "down"), self.value("ann", 5, "down"))
        shutil.rmtree("folder")
        os.mkdir("folder")
        self.send("ann")
        self.done("new", "cy.readbreak", "--as", "Cy")
        self.receive("cy")
        self.assertEqual(self.json("snaps", "cy.readbreak"),
                         self.json("snaps", "ann.readbreak"))

    def test_status_tells_who_is_behind(self):
        self.tag("ann", 6, "down=2")
        self.send("ann")
        laptops = self.json("exchange", "status", "bo.readbreak", "folder")["laptops"]
        behind = [one for one in laptops if one["in_folder"] > one["here"]]
        self.assertEqual([one["in_folder"] - one["here"] for one in behind], [1])
        self.assertFalse(behind[0]["mine"])
        self.assertIn("another", self.done("exchange", "status", "bo.readbreak", "folder"))

    def test_refusals(self):
        self.refused("exchange", "send", "bo.readbreak", "nowhere", says="nowhere")
        self.refused("exchange", "receive", "bo.readbreak", "bo.readbreak",
                     says="shared folder")
        self.misused("exchange", "settle", "bo.readbreak", "1", "1")
        self.misused("exchange", "settle", "bo.readbreak", "one", "1")

    @unittest.skipIf(os.geteuid() == 0, "root may write everywhere")
    def test_a_folder_that_cannot_be_written(self):
        self.tag("bo", 6, "down=2")
        os.chmod("folder", 0o555)
        self.refused("exchange", "send", "bo.readbreak", "folder", "--as", "Bo",
                     says="could not be written")


unittest.addModuleCleanup(rig.remove_demos)
if __name__ == "__main__":
    unittest.main(verbosity=1)
