# SPDX-License-Identifier: GPL-3.0-or-later
"""Every command and every kind of report in a language of another alphabet: what is left in ours is
data of the library, a word of the command line, or was never translated."""
import contextlib
import csv
import html
import json
import os
import re
import shutil
import sqlite3
import subprocess
import unittest
import zipfile

import pseudo
import rig

STRANGE = "xx"
# What stays in every language: options, the program's own names, paths, kinds of files.
NEUTRAL = re.compile(r"--[a-z0-9-]+|READBREAK_DECODE|readbreak(?:-cli)?|season backups|(?:/[\w.-]+)+|"
                     r"\b[0-9a-f]{32}\b|\.(?:html|xlsx|csv|pdf|svg|png|mp4|json|vtt|otio|ffmeta|metadata)\b", re.I)
LEFT = re.compile(r"[A-Za-z]{3,}")
# Commands whose tables name codes to be typed: as JSON they tell which.
CODED = ("tag", "required", "data", "footwork", "playbook show", "film check", "film add", "film import")


def texts_of(root):
    """Every text and key of what was read from JSON."""
    if isinstance(root, dict):
        for key, value in root.items():
            yield key
            yield from texts_of(value)
    elif isinstance(root, list):
        for value in root:
            yield from texts_of(value)
    elif isinstance(root, str):
        yield root


def said_in(concept):
    """What a staff wrote in a concept, and not its codes."""
    root = json.loads(concept)
    yield from (root.get(key) for key in ("name", "token", "notes"))
    for part in root.get("reads", []) + root.get("rules", []):
        yield from (part.get(key) for key in ("name", "landmark", "key"))


def data_of(library):
    """The names that a library holds."""
    with contextlib.closing(sqlite3.connect(library)) as database:
        for query in ("SELECT name FROM person", "SELECT name FROM team", "SELECT name FROM player",
                      "SELECT title FROM game", "SELECT name FROM term", "SELECT token FROM term",
                      "SELECT name FROM concept", "SELECT title FROM film", "SELECT name FROM cutup",
                      "SELECT name FROM saved_filter"):
            yield from (row[0] for row in database.execute(query))
        for row in database.execute("SELECT document FROM revision"):
            yield from said_in(row[0])


class Language(rig.Case):
    @classmethod
    def setUpClass(cls):
        cls.program = os.path.join(rig.tempfile.mkdtemp(prefix="rb-language-"))
        cls.addClassCleanup(shutil.rmtree, cls.program, ignore_errors=True)
        pseudo.translate(cls.program, STRANGE, pseudo.strange)
        os.makedirs(os.path.join(cls.program, "bin"))
        cls.cli = shutil.copy(rig.CLI, os.path.join(cls.program, "bin"))

    def setUp(self):
        super().setUp()
        self.ran, self.left, self.data = set(), [], set()
        self.library = "season.readbreak"

    def call(self, *words, code=0):
        """What a command says in the strange language."""
        environment = dict(os.environ, LANGUAGE=STRANGE, LC_ALL="C.UTF-8")
        environment.setdefault("READBREAK_DECODE", os.path.join(os.path.dirname(rig.CLI), "..", "decode",
                                                                 "readbreak-decode"))
        done = subprocess.run([self.cli, *map(str, words)], capture_output=True, text=True, timeout=120,
                              env=environment, check=False)
        self.assertEqual(done.returncode, code, f"{words}: {done.stdout}{done.stderr}")
        return done.stdout + done.stderr

    def expect_strange(self, where, text, words=(), also=()):
        """words: of the command line, which are echoed. also: more that is no text of the program."""
        known = {str(one) for one in [*self.data, *words, *also] if one}
        known |= {os.path.splitext(os.path.basename(one))[0] for one in known}
        known |= {one.lower() for one in known}
        text = NEUTRAL.sub(" ", text)
        for one in sorted(known, key=len, reverse=True):
            text = text.replace(one, " ")
        found = sorted(set(LEFT.findall(text)))
        if found:
            self.left.append("%s: %s" % (where, " ".join(found)))

    def look_at_data(self):
        self.data = {one for one in data_of(self.library) if one and LEFT.search(one)}

    def run_command(self, *words, code=0, also=()):
        """One command, its words for people read. also: what a file of its holds."""
        name = next(name for name in self.commands if name.split() == list(words[:len(name.split())]))
        self.ran.add(name)
        if name in CODED and code == 0:
            told = json.loads(self.call(*words, "--json"))
            also = [*also, *self.tokens] + [one for one in texts_of(told) if len(one) >= 3]
        text = self.call(*words, code=code)
        self.look_at_data()
        self.expect_strange(" ".join(map(str, words)), text, words, also)
        return text

    def read_commands(self):
        """Also that help and manual page are all translated."""
        self.commands = re.findall(r"(?m)^  ([a-z]+(?: [a-z]+)?)  *\S", rig.run("--help").stdout)
        self.commands.sort(key=len, reverse=True)
        self.assertGreater(len(self.commands), 50)
        self.expect_strange("--help", self.call("--help"), self.commands)
        self.tokens = [one.strip("-") for one in re.findall(r"--[a-z0-9-]+", rig.run("verdict", "try", "--help").stdout)]
        for name in self.commands:
            text = self.call(*name.split(), "--help")
            example = next(line for line in text.splitlines() if line.startswith("  readbreak-cli"))
            self.expect_strange(name + " --help", text.replace(example, ""), [name, *self.tokens])
        manual = re.sub(r"(?m)^readbreak.*$|^\..*$|\\f[BIR]|\\e", " ", self.call("--manual"))
        self.expect_strange("--manual", manual.replace("\\-", "-"), [*self.commands, *self.tokens])

    def make_library(self):
        self.run_command("demo", self.library, "--no-film", "--seed", 1)
        rig.ffmpeg("-f", "lavfi", "-i", "testsrc2=size=320x240:rate=30:duration=2", "-pix_fmt", "yuv420p",
                   "-g", "30", "wide.mp4")

    def run_film(self):
        self.run_command("new", "fresh.readbreak")
        self.run_command("game", "add", self.library, "Last at Redmarsh", "2026-12-05")
        self.run_command("film", "check", "wide.mp4")
        self.run_command("film", "cuts", "wide.mp4")
        self.run_command("film", "frame", "wide.mp4", 3)
        self.run_command("film", "dump", "wide.mp4", "--out", "a.gray", "--list", "a.tsv")
        self.run_command("film", "import", self.library, "wide.mp4", "--game", "Last at Redmarsh")
        self.run_command("film", "add", self.library, "wide.mp4", "--game", 1)
        self.run_command("film", "check", self.library)
        self.run_command("film", "snapfind", self.library, 1)

    def run_tags(self):
        library = self.library
        self.run_command("snaps", library, "--game", 1)
        self.run_command("tag", library, "--game", 1, "--snap", 1)
        self.run_command("tag", library, "--game", 1, "--snap", 1, "spot=own 25", "gain=-")
        self.run_command("tag", library, "--game", 1, "--snap", 3, "coverage=cover-2", "--as", "Ann")
        self.run_command("tag", library, "--game", 1, "--snap", 3, "coverage=quarters", "--as", "Ben")
        self.run_command("agreement", library, "Ann", "Ben", "--game", 1)
        self.run_command("agreement", library, "--game", 1)
        self.run_command("verdicts", library, "--reasons")
        self.run_command("verdict", "explain", library, 3, "--game", 1)
        self.run_command("verdict", "try", library, "smash", "--read-1", "open", "--ball", "read-2",
                         "--release", "2.6")
        self.run_command("check", library)
        self.run_command("check", library, "--open")
        self.run_command("required", library, "motion=yes")
        self.run_command("measure", "list", library)
        self.run_command("measure", "times", library, 3, "--game", 1)
        self.run_command("measure", "take", library, 3, "cushion", "--game", 1, "--at", "1,1", code=2)

    def run_figures(self):
        library = self.library
        self.run_command("pairings", library)
        self.run_command("ladder", library, "--costliest")
        self.run_command("compare", library, "--first", "down=1", "--second", "down=3")
        self.run_command("filter", "list", library)
        self.run_command("filter", "save", library, "Third and long", "--down", 3, "--distance", "7+")
        self.run_command("filter", "list", library)
        self.run_command("filter", "remove", library, "Third and long")
        self.run_command("worklist", library)
        self.run_command("quarterback", library)
        self.run_command("quiz", "report", library)

    def run_cutups(self):
        library = self.library
        self.run_command("cutup", "make", library, "Eyes", "--stage", "eyes")
        self.run_command("cutup", "list", library)
        self.run_command("cutup", "set", library, "Eyes", "--card", "game,snap,situation,call,coverage")
        self.run_command("cutup", "show", library, "Eyes")
        self.run_command("cutup", "export", library, "Eyes", "--out", "out.mp4", code=1)
        self.run_command("cutup", "export", library, "Eyes", "--out", "list.csv")

    def run_book(self):
        library = self.library
        self.run_command("playbook", "export", library, "passing.json")
        self.run_command("playbook", "check", "passing.json")
        self.run_command("playbook", "import", library, "passing.json")
        self.run_command("playbook", "show", library)
        self.run_command("playbook", "show", library, "smash")
        self.run_command("playbook", "page", library, "smash", "page.svg", "--shell", "two-high")
        self.read_report("page.svg")
        self.run_command("footwork", library, "centre-5=2.5", "hitch=0.35")
        with open("broken.json", "w", encoding="utf-8") as file:
            file.write('{"format": "readbreak-playbook", "version": 1, "concepts": [{"name": 3}]}')
        self.run_command("playbook", "check", "broken.json", code=1, also=["token"])

    def run_log(self):
        with open("log.csv", "w", encoding="utf-8", newline="") as file:
            csv.writer(file).writerows([["No", "Down", "Distance", "Yard line", "Gain"],
                                        [1, 1, 10, "own 48", 0], [2, 2, 10, "own 48", 3], [3, 9, 7, "own 51", 8]])
        text = self.run_command("log", "import", self.library, 1, "log.csv", "--preview", "--align", "numbers",
                                also=["Down", "Distance", "Yard line", "Gain", "own 48", "own 51", "spot"])
        self.assertIn("Yard line", text)

    def run_rest(self):
        library = self.library
        self.run_command("data", library)
        self.run_command("history", library)
        self.run_command("undo", library)
        self.run_command("redo", library)
        self.run_command("backup", library)
        kept = self.call("backup", library, "--list").splitlines()[0]
        self.run_command("restore", kept, "again.readbreak")
        os.mkdir("folder")
        self.run_command("exchange", "send", library, "folder")
        self.run_command("exchange", "receive", "again.readbreak", "folder")
        self.call("tag", "again.readbreak", "--game", 1, "--snap", 2, "hash=middle")
        self.call("tag", library, "--game", 1, "--snap", 2, "hash=right")
        self.call("exchange", "send", "again.readbreak", "folder")
        self.run_command("exchange", "receive", library, "folder")
        self.run_command("exchange", "status", library, "folder")
        self.run_command("exchange", "settle", library, 1, 1)
        self.run_command("forget", library, "Ben")

    def read_report(self, path):
        """What a person reads of a file."""
        if path.endswith(".pdf"):
            text = subprocess.run(["pdftotext", "-layout", path, "-"], capture_output=True, text=True, check=True,
                                  timeout=60).stdout
        elif path.endswith(".xlsx"):
            with zipfile.ZipFile(path) as book:
                text = book.read("xl/sharedStrings.xml").decode() + \
                    " ".join(re.findall(r'<sheet name="([^"]*)"', book.read("xl/workbook.xml").decode()))
        else:
            with open(path, encoding="utf-8") as file:
                text = file.read()
        text = re.sub(r"(?s)<style.*?</style>", " ", text)
        self.assertRegex(text, "[а-я]{3}", path)
        broken = [word for one in self.data for word in one.split()] # names on several lines
        self.expect_strange(path, html.unescape(re.sub(r"(?s)<[^>]*>", " ", text)), (), broken)

    def run_reports(self):
        library = self.library
        for kind, ends in (("page", ("html", "pdf")), ("pairing", ("pdf",)), ("book", ("pdf",)),
                           ("call-sheet", ("pdf",)), ("figures", ("xlsx",)), ("table-chart", ("svg",)),
                           ("ladder-chart", ("svg",))):
            for end in ends:
                only = ["--concept", "smash", "--coverage", "cover-2"] if kind == "pairing" else []
                self.run_command("report", library, "--kind", kind, "--out", f"{kind}.{end}", *only)
                self.read_report(f"{kind}.{end}")

    def run_refused(self):
        """A word for each way to be wrong."""
        library = self.library
        for words, code in ((("pairings", "nothing.readbreak"), 1), (("pairings",), 2),
                            (("pairings", library, "--nosuch"), 2), (("pairings", library, "--down", "x"), 1),
                            (("tag", library, "--game", 1, "--snap", 1, "spot=25"), 1),
                            (("tag", library, "--game", 1, "--snap", 1, "release=x"), 1),
                            (("history", library, "--limit", "x"), 2), (("film", "check", "log.csv"), 1)):
            text = self.call(*words, code=code)
            also = [w for name in self.commands for w in name.split()]
            self.expect_strange(" ".join(map(str, words)), text, words, also)

    def test_all_that_people_read_is_translated(self):
        self.read_commands()
        self.make_library()
        for part in (self.run_film, self.run_tags, self.run_figures, self.run_cutups, self.run_book,
                     self.run_log, self.run_reports, self.run_refused, self.run_rest):
            part()
        self.assertEqual(set(self.commands) - self.ran, set(), "commands that nobody ran")
        self.assertEqual(self.left, [], "\n".join(self.left))

    def test_yard_lines_are_understood_in_both_languages_and_kept_in_one(self):
        """Spanish words as play logs there have them; common practice, no source."""
        self.demo(self.library)
        where = ("tag", self.library, "--game", 1, "--snap", 1)
        for typed, kept, told in (("propia 25", "own 25", "propia 25"), ("RIVAL 40", "opp 40", "rival 40"),
                                  ("p 3", "own 3", "propia 3"), ("own 33", "own 33", "propia 33"),
                                  ("opp 2", "opp 2", "rival 2"), ("50", "50", "50"), ("-7", "own 7", "propia 7")):
            said = self.spanish(*where, "spot=" + typed)
            self.assertIn(told, said)
            self.assertEqual(json.loads(self.spanish(*where, "--json"))["tags"]["spot"], kept)
            self.assertEqual(self.json(*where)["tags"]["spot"], kept)
        refused = self.spanish(*where, "spot=25", code=1)
        self.assertIn("propia 25", refused)
        self.refused(*where, "spot=propia 25", says="own 25")

    def spanish(self, *words, code=0):
        done = rig.run(*words, env=dict(os.environ, LANGUAGE="es", LC_ALL="C.UTF-8"))
        self.assertEqual(done.returncode, code, done.stderr)
        return done.stdout + done.stderr

    def history_of(self, library, run):
        return [line["words"] for line in json.loads(run("history", library, "--json"))["history"]]

    def test_the_history_is_told_in_the_readers_language(self):
        """Done in Spanish on one laptop, read in ours on another, and in both at home."""
        self.demo(self.library)
        game = ("--game", 1, "--snap", 1)
        self.spanish("tag", self.library, *game, "spot=propia 25")
        self.spanish("tag", self.library, *game, "spot=rival 40")
        self.spanish("tag", self.library, *game, "coverage=cover-3", "shell=two-high", "pressure=none")
        self.spanish("footwork", self.library, "gun-3=2.35")
        self.spanish("undo", self.library)
        with contextlib.closing(sqlite3.connect(self.library)) as database:
            title = database.execute("SELECT title FROM game ORDER BY played_on").fetchone()[0]
        ours = [f"spot of snap 1 changed from own 25 to opp 40 ({title})",
                f"3 tags of snap 1: coverage Cover 3, shell Two high, pressure No pressure ({title})"]
        theirs = [f"yarda del snap 1: de propia 25 a rival 40 ({title})"]
        os.mkdir("folder")
        self.spanish("exchange", "send", self.library, "folder")
        self.done("new", "other.readbreak", "--as", "Bo")
        self.done("exchange", "receive", "other.readbreak", "folder", "--as", "Bo")
        for library in (self.library, "other.readbreak"):
            english = self.history_of(library, self.done)
            spanish = self.history_of(library, self.spanish)
            self.assertEqual(len(english), len(spanish))
            for line in ours:
                self.assertIn(line, english)
            for line in theirs:
                self.assertIn(line, spanish)
            self.assertTrue(english[0].startswith("Undone: Footwork: 3 steps from the gun 2.35 s"), english[0])
            self.assertTrue(spanish[0].startswith("Deshecho: "), spanish[0])
            self.assertEqual([line for line in english if re.search("[\x00-\x1f]", line)], [])
            self.assertEqual(set(english) & set(spanish), set())
        said = self.done("redo", self.library)
        self.assertTrue(said.startswith("Redone: Footwork: "), said)

    def test_old_and_foreign_rows_of_the_history(self):
        """A row of before is a sentence, and stays it; one that makes no sense shows what stands before."""
        self.demo(self.library)
        rows = (("coberturas cambiadas, como antes", "coberturas cambiadas, como antes"),
                ("front\x1e\x02=\x1f%s %s\x1fonly one\x03", "front"),
                ("front\x1e\x02=\x1f%n%n%s\x03", "front"),
                ("front\x1e\x02=\x1f\x03", "front"),
                ("a\x1e\x02=\x1fNew library\x03", "Biblioteca nueva"),
                ("b\x1e\x02#\x1f%u concept\x1f%u concepts\x1f2\x1f2\x03", "2 concepts"))
        for stored, shown in rows:
            with contextlib.closing(sqlite3.connect(self.library)) as database:
                database.execute("UPDATE action SET words = ? WHERE stamp = (SELECT max(stamp) FROM action)", (stored,))
                database.commit()
            self.assertEqual(self.history_of(self.library, self.spanish)[0], shown)

    def test_files_for_programs_are_the_same_in_every_language(self):
        self.demo(self.library)
        own = os.environ.pop("LANGUAGE", None)
        for words in (["report", self.library, "--kind", "figures"],):
            for language, run in (("ours", rig.run), ("strange", None)):
                out = language + ".csv"
                if run is not None:
                    self.assertEqual(run(*words, "--out", out).returncode, 0)
                else:
                    self.call(*words, "--out", out)
        with open("ours.csv", encoding="utf-8") as ours, open("strange.csv", encoding="utf-8") as strange:
            self.assertEqual(ours.read(), strange.read())
        for words in (("tag", self.library, "--game", 1, "--snap", 1), ("pairings", self.library),
                      ("required", self.library), ("data", self.library)):
            ours = json.loads(self.call(*words, "--json"))
            plain = json.loads(rig.run(*words, "--json").stdout)
            keys = [one for one in texts_of(ours) if not re.search("[а-я]", one)]
            self.assertLessEqual(set(keys), set(texts_of(plain)), words)
            self.assertEqual(ours.get("tags"), plain.get("tags"))
        if own is not None:
            os.environ["LANGUAGE"] = own


if __name__ == "__main__":
    unittest.main()
