# SPDX-License-Identifier: GPL-3.0-or-later
"""The quarterback, the quiz and the cut-ups from the command line, judged from outside: rates and
ratings are counted again from the verdicts, exports are read by ffprobe and by readers written
from the published formats."""
import contextlib
import csv
import glob
import json
import math
import os
import re
import shutil
import signal
import sqlite3
import subprocess
import time
import unittest

import prepared
from rig import Case, run

RIGHT = {"on-read", "sound"}
NOT_JUDGED = {"ungraded", "spoiled"}
FILMED = 3
# 80 % two-sided: the 0.9 quantile of the normal distribution (NIST/SEMATECH e-Handbook, 1.3.6.7.1).
Z_80 = 1.2815515655446004


def wilson(right, n):
    """E. B. Wilson, JASA 22 (1927), 209-212."""
    share, square = right / n, Z_80 * Z_80
    middle = (share + square / (2 * n)) / (1 + square / n)
    half = Z_80 / (1 + square / n) * math.sqrt(share * (1 - share) / n + square / (4 * n * n))
    return middle - half, middle + half


def rating_pro(p):
    """The professional passer rating: four parts, each from 0 to 2.375 (the league's record book)."""
    n = p["attempts"]
    parts = [(p["completions"] / n - 0.3) * 5, (p["yards"] / n - 3) * 0.25,
             p["touchdowns"] / n * 20, 2.375 - p["interceptions"] / n * 25]
    return sum(min(max(part, 0), 2.375) for part in parts) / 6 * 100


def rating_college(p):
    """The college passing efficiency (its statisticians' manual)."""
    return (8.4 * p["yards"] + 330 * p["touchdowns"] + 100 * p["completions"] -
            200 * p["interceptions"]) / p["attempts"]


def probe(path, *words, level="warning"):
    done = subprocess.run(["ffprobe", "-v", level, "-of", "json", *words, path], check=True,
                          capture_output=True, text=True, timeout=120)
    assert done.stderr == "", done.stderr
    return json.loads(done.stdout)


def seconds(stamp):
    """A WebVTT time stamp (W3C WebVTT: hours are optional)."""
    found = re.fullmatch(r"(?:(\d{2,}):)?([0-5]\d):([0-5]\d)\.(\d{3})", stamp)
    assert found, stamp
    hours, minutes, whole, thousandths = found.groups()
    return int(hours or 0) * 3600 + int(minutes) * 60 + int(whole) + int(thousandths) / 1000


class Quarterback(Case):
    def setUp(self):
        super().setUp()
        self.library = self.demo()

    def counted(self):
        return [v for v in self.json("verdicts", self.library)["verdicts"] if v["counts"]]

    def test_rates_are_those_of_the_verdicts(self):
        told, verdicts = self.json("quarterback", self.library), self.counted()
        self.assertEqual(told["dropbacks"], len(verdicts))
        for verdict, n in told["verdicts"].items():
            self.assertEqual(n, sum(v["verdict"] == verdict for v in verdicts), verdict)
        judged = [v for v in verdicts if v["verdict"] not in NOT_JUDGED]
        right = sum(v["verdict"] in RIGHT for v in judged)
        self.assertEqual((told["judged"], told["right"]), (len(judged), right))
        low, high = wilson(right, len(judged))
        self.assertAlmostEqual(told["low"], low, 9)
        self.assertAlmostEqual(told["high"], high, 9)

    def test_process_against_result_is_a_partition(self):
        told = self.json("quarterback", self.library)
        made = [v for v in self.counted() if v["verdict"] not in NOT_JUDGED | {"no-time"}]
        for name, is_right, good in (("right_good", True, True), ("right_bad", True, False),
                                     ("wrong_good", False, True), ("wrong_bad", False, False)):
            n = sum((v["verdict"] in RIGHT) == is_right and v["success"] == good for v in made)
            self.assertEqual(told["decisions"][name], n, name)
        self.assertEqual(sum(told["decisions"].values()), len(made))

    def test_games_and_groups_sum_to_the_whole(self):
        told = self.json("quarterback", self.library)
        for part in ("judged", "right"):
            self.assertEqual(sum(g[part] for g in told["games"]), told[part])
            self.assertEqual(sum(g[part] for g in told["groups"]["concept"]), told[part])
        for group in told["games"] + [g for field in told["groups"].values() for g in field]:
            low, high = wilson(group["right"], group["judged"])
            self.assertAlmostEqual(group["low"], low, 9)
            self.assertAlmostEqual(group["high"], high, 9)
        self.assertEqual([g["date"] for g in told["games"]], sorted(g["date"] for g in
                                                                    told["games"]))

    def test_both_official_ratings(self):
        passing = self.json("quarterback", self.library)["passing"]
        self.assertAlmostEqual(passing["rating_pro"], rating_pro(passing), 6)
        self.assertAlmostEqual(passing["rating_college"], rating_college(passing), 6)

    def test_late_throws_left_after_clock_and_tolerance(self):
        throws = self.json("quarterback", self.library)["throws"]
        self.assertGreater(len(throws), 50)
        for throw in throws:
            after = throw["release_ms"] > throw["due_ms"] + throw["tolerance_ms"]
            self.assertEqual(throw["late"], after, throw)

    def test_habits_are_the_costliest_and_name_their_snaps(self):
        told = self.json("quarterback", self.library)
        verdicts = {v["snap"]: v for v in self.counted()}
        costs = [habit["cost"] for habit in told["habits"]]
        self.assertEqual(costs, sorted(costs, reverse=True))
        self.assertLessEqual(len(costs), 3)
        for habit in told["habits"]:
            self.assertEqual(len(habit["snaps"]), habit["times"])
            self.assertTrue(habit["sentence"].endswith(
                ", %d of %d." % (habit["times"], habit["of"])), habit["sentence"])
            for snap in habit["snaps"]:
                self.assertEqual(verdicts[snap]["verdict"], habit["verdict"])

    def test_a_filter_and_words_for_people(self):
        told = self.json("quarterback", self.library, "--concept", "smash")
        smash = [v for v in self.counted() if v["concept"] == "smash"]
        self.assertEqual(told["dropbacks"], len(smash))
        said = self.done("quarterback", self.library, "--concept", "smash")
        self.assertIn("%d dropbacks." % len(smash), said)
        self.assertIn("professional formula", said)
        self.assertIn("college formula", said)
        none = self.done("quarterback", self.library, "--distance", "90-99")
        self.assertIn("no decision is judged yet", none)


class Quiz(Case):
    def test_the_report_counts_answers_by_coverage(self):
        library = self.demo()
        self.assertIn("has not been asked yet", self.done("quiz", "report", library))
        self.done("cutup", "make", library, "Eyes", "--stage", "eyes")  # now he is known
        snaps = [v for v in self.json("verdicts", library)["verdicts"] if v["counts"]]
        first, second = list(dict.fromkeys(v["coverage"] for v in snaps if v["coverage"]))[:2]
        asked = [v for v in snaps if v["coverage"] == first][:3] + \
                [v for v in snaps if v["coverage"] == second][:2]
        with sqlite3.connect(library) as database:
            person, = database.execute(
                "SELECT id FROM person WHERE name <> 'Graduate assistant'").fetchone()
            for i, verdict in enumerate(asked):
                database.execute(
                    "INSERT INTO quiz_answer (id, snap, person, asked_on, shell, shell_right, "
                    "first_right, read, read_right, thinking_ms, removed) "
                    "VALUES (?, ?, ?, '2026-09-20', 'two-high', ?, 'yes', 1, ?, ?, 0)",
                    (i + 1, int(verdict["snap"]), person, "yes" if i < 4 else "no",
                     "yes" if i % 2 else "no", 1000 * (i + 1)))
        lines = self.json("quiz", "report", library)["lines"]
        found = {line["coverage"]: line for line in lines}
        self.assertEqual(set(found), {first, second, None})
        self.assertEqual((found[first]["asked"], found[first]["reads_right"]), (3, 1))
        self.assertEqual((found[second]["asked"], found[second]["reads_right"]), (2, 1))
        self.assertEqual((found[None]["asked"], found[None]["shells_right"],
                          found[None]["firsts_right"], found[None]["median_ms"]),
                         (5, 4, 5, 3000))
        said = self.done("quiz", "report", library)
        self.assertRegex(said, r"(?m)^All +5 +4 of 5 +5 of 5 +2 of 5 +3\.0 s$")


class Cutups(Case):
    def setUp(self):
        super().setUp()
        shutil.copytree(prepared.season("1", FILMED), self.folder, dirs_exist_ok=True)
        self.library = "season.readbreak"

    def shown(self, name):
        return self.json("cutup", "show", self.library, name)

    def make_filmed(self):
        """A cut-up of the snaps that have film. Returns its clips."""
        self.done("cutup", "make", self.library, "Film", "--game", "2")
        with_film = [i + 1 for i, clip in enumerate(self.shown("Film")["clips"])
                     if clip["missing"] is None]
        self.assertEqual(len(with_film), FILMED)
        for place, number in enumerate(with_film):
            self.done("cutup", "set", self.library, "Film", "--clip", number, "--move-to",
                      place + 1)
        return self.shown("Film")["clips"][:FILMED]

    def test_made_listed_shown_and_set(self):
        eyes = {v["snap"] for v in self.json("verdicts", self.library, "--stage", "eyes")
                ["verdicts"]}
        self.done("cutup", "make", self.library, "Eyes", "--stage", "eyes", "--card", "snap")
        listed = self.json("cutup", "list", self.library)["cutups"]
        self.assertEqual([(c["name"], c["kind"], c["clips"]) for c in listed],
                         [("Eyes", "fixed", len(eyes))])
        self.assertEqual({c["snap"] for c in self.shown("eyes")["clips"]}, eyes)
        self.assertRegex(self.done("cutup", "list", self.library),
                         r"(?m)^Eyes +Fixed list +%d$" % len(eyes))
        self.done("cutup", "set", self.library, "Eyes", "--name", "Monday", "--live",
                  "--card", "game,verdict", "--start", "snap", "--freeze", "release",
                  "--freeze-ms", "1500", "--note", "for the room")
        told = self.shown("Monday")
        self.assertEqual((told["kind"], told["note"]), ("live", "for the room"))
        for clip in told["clips"]:
            self.assertEqual((clip["card"], clip["start"], clip["freeze"], clip["freeze_ms"]),
                             ("game,verdict", "snap", "release", 1500))
        order = [clip["snap"] for clip in told["clips"]]
        self.done("cutup", "set", self.library, "Monday", "--clip", "3", "--move-to", "1",
                  "--note", "hips", "--speed", "50", "--card", "")
        clips = self.shown("Monday")["clips"]
        self.assertEqual([c["snap"] for c in clips[:3]], [order[2], order[0], order[1]])
        self.assertEqual((clips[0]["note"], clips[0]["speed"], clips[0]["card"]),
                         ("hips", 50, None))
        self.assertIn("hips", self.done("cutup", "show", self.library, "Monday"))
        self.assertNotIn("hips", self.done("cutup", "show", self.library, "Monday",
                                           "--no-names"))

    def test_refusals(self):
        self.done("cutup", "make", self.library, "Eyes", "--stage", "eyes")
        self.refused("cutup", "show", self.library, "Tuesday", says='"Eyes"')
        self.refused("cutup", "set", self.library, "Eyes", "--start", "end", "--stop", "snap",
                     says="later stop")
        self.refused("cutup", "set", self.library, "Eyes", "--card", "weather", says="weather")
        self.misused("cutup", "set", self.library, "Eyes", "--live", "--fixed")
        self.misused("cutup", "export", self.library, "Eyes")
        self.refused("cutup", "export", self.library, "Eyes", "--out", "x.mp4", says="film")
        self.assertFalse(os.path.exists("x.mp4"))

    def test_exported_to_one_film_and_to_a_file_a_clip(self):
        clips = self.make_filmed()
        frames = sum(c["last"] - c["first"] + 1 for c in clips)
        out = self.json("cutup", "export", self.library, "Film", "--out", "out.mp4", "--skip")
        self.assertEqual(out["files"], 1)
        self.assertEqual(sum("left out" in line for line in out["log"]),
                         len(self.shown("Film")["clips"]) - FILMED)
        video, = probe("out.mp4", "-count_packets", "-select_streams", "v",
                       "-show_streams")["streams"]
        self.assertEqual((video["codec_name"], int(video["nb_read_packets"])), ("h264", frames))
        decoded = subprocess.run(["ffmpeg", "-v", "warning", "-nostdin", "-i", "out.mp4", "-f",
                                  "null", "-"], capture_output=True, text=True, check=True)
        self.assertEqual(decoded.stderr, "")
        self.refused("cutup", "export", self.library, "Film", "--out", "out.mp4", "--skip",
                     says='There is a file "out.mp4" already')
        os.mkdir("each")
        out = self.json("cutup", "export", self.library, "Film", "--out", "each", "--each",
                        "--skip", "--no-sound")
        self.assertEqual(out["files"], FILMED)
        for name, clip in zip(sorted(os.listdir("each")), clips):
            streams = probe(os.path.join("each", name), "-count_packets", "-show_streams")["streams"]
            self.assertEqual([s["codec_type"] for s in streams], ["video"])
            self.assertEqual(int(streams[0]["nb_read_packets"]), clip["last"] - clip["first"] + 1)

    def test_stopped_nothing_is_left_and_what_was_there_is_kept(self):
        self.make_filmed()
        with open("out.mp4", "w", encoding="utf-8") as file:
            file.write("old")
        before = set(os.listdir("."))
        with subprocess.Popen([os.environ["RB_CLI"], "cutup", "export", self.library, "Film", "--out",
                               "out.mp4", "--skip", "--replace", "--encode"],
                              stdout=subprocess.DEVNULL, stderr=subprocess.PIPE,
                              text=True) as export:
            while export.poll() is None and set(os.listdir(".")) <= before:
                time.sleep(0.01)  # the film that is written aside is there
            export.send_signal(signal.SIGINT)
            said = export.communicate(timeout=60)[1]
        self.assertEqual(export.returncode, 1, said)
        self.assertEqual(said.count("\n"), 1, said)
        self.assertLessEqual(set(os.listdir(".")), before)
        with open("out.mp4", encoding="utf-8") as file:
            self.assertEqual(file.read(), "old")

    def test_a_full_disk_is_said_and_leaves_nothing(self):
        if subprocess.run(["unshare", "-Urm", "true"], stderr=subprocess.DEVNULL,
                          check=False).returncode != 0:
            self.skipTest("no file system can be mounted here")
        self.make_filmed()
        os.mkdir("small")
        for each in ((), ("--each",)):
            out = "small/each" if each else "small/out.mp4"
            script = ("mount -t tmpfs -o size=96k none small && { [ -z \"$3\" ] || mkdir small/each; } "
                      '&& { "$0" cutup export "$1" Film --out "$2" --skip $3; code=$?; '
                      "find small -type f >left; exit $code; }")
            done = subprocess.run(["unshare", "-Urm", "sh", "-c", script, os.environ["RB_CLI"],
                                   self.library, out, *each], capture_output=True, text=True,
                                  timeout=300, check=False)
            self.assertEqual(done.returncode, 1, done.stderr)
            said = done.stderr.splitlines()
            self.assertEqual(len(said), 1, done.stderr)
            self.assertIn("full", said[0])
            self.assertTrue(said[0].endswith("."), said[0])
            with open("left", encoding="utf-8") as file:
                left = file.read().split()
            # Of files that were whole already nothing is taken back; half of one is not left.
            self.assertTrue(all(re.fullmatch(r"small/each/.*\.mp4", name) for name in left), left)

    def move_film_here(self):
        """The copied library looks for film in this folder, and the cut-up has only clips with film.
        Returns the wide film's path."""
        filmed = [int(c["snap"]) for c in self.shown("Film")["clips"] if c["missing"] is None]
        with contextlib.closing(sqlite3.connect(self.library)) as database, database:
            for film, path in database.execute("SELECT film, CAST(path AS TEXT) FROM film_path"):
                name = os.path.join(self.folder, "season film", os.path.basename(path))
                database.execute("UPDATE film_path SET path = CAST(? AS BLOB) WHERE film = ?",
                                 (name, film))
            database.execute("UPDATE cutup_entry SET removed = 1 WHERE snap NOT IN (?, ?, ?)", filmed)
        return glob.glob("season film/*wide.mp4")[0]

    def test_film_that_went_away_is_said_and_the_rest_goes_on_if_asked(self):
        clips = self.make_filmed()
        film = self.move_film_here()
        self.assertEqual({c["film"] for c in clips}, {os.path.basename(film)})
        self.done("cutup", "set", self.library, "Film", "--clip", "2", "--view", "tight")
        os.rename(film, "on a drive.mp4")
        self.refused("cutup", "export", self.library, "Film", "--out", "out.mp4",
                     says=f'The film "{os.path.basename(film)}" is not there')
        out = self.json("cutup", "export", self.library, "Film", "--out", "out.mp4", "--skip")
        self.assertEqual(out["files"], 1)
        self.assertEqual(sum("frames" in line for line in out["log"]), 1, out["log"])
        # Shorter than it was: half of a copy.
        os.remove("out.mp4")
        with open("on a drive.mp4", "rb") as whole, open(film, "wb") as half:
            half.write(whole.read(os.path.getsize("on a drive.mp4") // 8))
        self.refused("cutup", "export", self.library, "Film", "--out", "out.mp4",
                     says=os.path.basename(film))

    def test_names_are_left_out_when_asked(self):
        self.make_filmed()
        self.done("cutup", "set", self.library, "Film", "--card", "snap,quarterback,note")
        self.done("cutup", "set", self.library, "Film", "--clip", "1", "--note", "secret words")
        for ending in ("vtt", "metadata.vtt", "otio", "csv", "ffmeta"):
            for option, there in (((), True), (("--no-names",), False)):
                self.done("cutup", "export", self.library, "Film", "--out", "list." + ending,
                          "--replace", *option)
                with open("list." + ending, encoding="utf-8") as file:
                    text = file.read()
                if ending in ("metadata.vtt", "otio", "csv"):
                    self.assertEqual("secret words" in text, there, ending)
                else:
                    self.assertNotIn("secret words", text)

    def test_lists_are_read_back_and_fit_the_film(self):
        clips = self.make_filmed()
        self.done("cutup", "export", self.library, "Film", "--out", "out.mp4", "--skip")
        length = float(probe("out.mp4", "-show_format")["format"]["duration"])
        for ending in ("vtt", "csv", "otio", "ffmeta"):
            self.done("cutup", "export", self.library, "Film", "--out", "list." + ending)
        with open("list.vtt", encoding="utf-8") as file:
            blocks = file.read().strip().split("\n\n")
        self.assertEqual(blocks[0].split("\n")[0], "WEBVTT")
        cues = [line.split(" --> ") for block in blocks[1:] for line in block.split("\n")
                if " --> " in line]
        self.assertEqual(len(cues), FILMED)
        self.assertEqual(seconds(cues[0][0]), 0)
        self.assertEqual(cues[0][1], cues[1][0])
        self.assertAlmostEqual(seconds(cues[-1][1]), length, delta=0.1)
        with open("list.csv", encoding="utf-8", newline="") as file:
            rows = list(csv.DictReader(file))
        self.assertEqual(len(rows), FILMED)  # what has no film is not in it
        with open("list.otio", encoding="utf-8") as file:
            timeline = json.load(file)
        self.assertEqual(timeline["OTIO_SCHEMA"], "Timeline.1")
        self.assertEqual(timeline["tracks"]["OTIO_SCHEMA"], "Stack.1")
        self.refused("cutup", "export", self.library, "Film", "--out", "list.ffmeta",
                     says='There is a file "list.ffmeta" already')
        subprocess.run(["ffmpeg", "-v", "error", "-nostdin", "-i", "out.mp4", "-i",
                        "list.ffmeta", "-map_metadata", "1", "-map_chapters", "1", "-c", "copy",
                        "chaptered.mp4"], check=True)
        # ffmpeg's own muxer keeps chapters in a text track too, of which ffprobe warns.
        chapters = probe("chaptered.mp4", "-show_chapters", level="error")["chapters"]
        self.assertEqual([c["tags"]["title"] for c in chapters], [c["title"] for c in clips])


if __name__ == "__main__":
    unittest.main()
