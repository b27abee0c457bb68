# SPDX-License-Identifier: GPL-3.0-or-later
"""Films at the command line: adding, finding again, exact frames, and what is no film."""
import json
import os
import random
import shutil
import signal
import subprocess
import time
import unittest

import prepared
import rig


def make_film(name, frames=90, rate="30000/1001", **options):
    codec = options.get("codec", ["-c:v", "libx264", "-bf", "2", "-pix_fmt", "yuv420p"])
    rig.ffmpeg("-f", "lavfi", "-i", f"testsrc2=size=320x180:rate={rate}", "-frames:v",
               frames, *codec, name)


def decoded(name):
    """MD5 of every frame by ffmpeg's own command line, in the order shown."""
    out = subprocess.run(["ffmpeg", "-v", "error", "-nostdin", "-i", name, "-map", "0:v:0",
                          "-fps_mode", "passthrough", "-pix_fmt", "yuv420p", "-f",
                          "framemd5", "-"], capture_output=True, text=True, check=True).stdout
    return [line.split(",")[-1].strip() for line in out.splitlines()
            if line and not line.startswith("#")]


class Frames(rig.Case):
    def check_frames(self, name, count):
        truth = decoded(name)
        seed = int(os.environ.get("RB_TEST_SEED", "17"))
        print(f"seed {seed}")
        picks = random.Random(seed).sample(range(len(truth)), min(count, len(truth)))
        for n in picks:
            frame = self.json("film", "frame", name, n)
            self.assertEqual((frame["frame"], frame["md5"]), (n, truth[n]))
        self.refused("film", "frame", name, len(truth), says=str(len(truth)))
        return truth

    def test_frames_by_number_equal_a_straight_decode(self):
        make_film("film.mp4")
        self.check_frames("film.mp4", 20)
        self.done("film", "frame", "film.mp4", 44, "--out", "frame.png")
        rig.ffmpeg("-i", "frame.png", "-f", "null", "-")
        self.refused("film", "frame", "film.mp4", 44, "--out", "frame.png", says="exists")
        self.refused("film", "frame", "film.mp4", 44, "--out", "none/f.png", says="none")

    def test_frames_of_the_demo_film(self):
        shutil.copytree(prepared.season("1", 1), ".", dirs_exist_ok=True)
        films = self.json("film", "check", "season.readbreak")["films"]
        self.assertEqual([film["stand"] for film in films], ["found", "found"])
        with open("truth.json", encoding="utf-8") as file:
            truth = json.load(file)
        filmed = [snap for snap in truth["snaps"] if "film" in snap]
        self.assertEqual(len(filmed), 1)
        clips = self.json("tag", "season.readbreak", "--snap", filmed[0]["snap"])["clips"]
        self.assertEqual(len(clips), 2)
        for clip, true in zip(clips, filmed[0]["film"]):
            self.assertEqual((clip["angle"], clip["first"], clip["last"], clip["marks"]),
                             (true["angle"], true["first"], true["last"], true["marks"]))
            self.assertEqual(os.path.basename(clip["path"]), true["file"])
            self.assertEqual(self.json("film", "check", "season film/" + true["own_file"])
                             ["films"][0]["frames"], true["last"] - true["first"] + 1)
        wide = next(film["path"] for film in films if "wide" in film["title"])
        straight = self.check_frames(wide, 200 if rig.LONG else 12)
        for n in range(len(straight) - 1, max(len(straight) - 13, 0), -1):
            self.assertEqual(self.json("film", "frame", wide, n)["md5"], straight[n])

    def test_a_demo_that_is_interrupted_leaves_nothing(self):
        with subprocess.Popen([rig.CLI, "demo", "demo.readbreak"],
                              stderr=subprocess.PIPE, text=True) as making:
            time.sleep(2.5)
            making.send_signal(signal.SIGINT)
            _, said = making.communicate(timeout=60)
        self.assertEqual(making.returncode, 1)
        self.assertIn("Cancelled", said)
        self.assertEqual(os.listdir("."), [])


class Adding(rig.Case):
    def test_films_are_added_once_and_found_when_moved(self):
        self.demo()
        make_film("one.mp4")
        before = rig.fingerprint("one.mp4")
        film = self.json("film", "add", "demo.readbreak", "one.mp4", "--angle", "tight",
                         "--game", 2)["films"][0]
        self.assertEqual((film["frames"], film["width"], film["added"]), (90, 320, True))
        again = self.json("film", "add", "demo.readbreak", "one.mp4")["films"][0]
        self.assertEqual((again["film"], again["added"]), (film["film"], False))
        self.assertEqual(rig.fingerprint("one.mp4"), before)
        os.makedirs("drive/week")
        os.rename("one.mp4", "drive/week/another name.mp4")
        moved = self.json("film", "check", "demo.readbreak", "--search", "drive")["films"][0]
        self.assertEqual(moved["stand"], "moved")
        self.assertTrue(moved["path"].endswith("drive/week/another name.mp4"))
        found = self.json("film", "check", "demo.readbreak")["films"][0]
        self.assertEqual((found["stand"], found["path"]), ("found", moved["path"]))
        shutil.rmtree("drive")
        result = rig.run("film", "check", "demo.readbreak")
        self.assertEqual(result.returncode, 1)
        self.assertIn("1 of 1 films", result.stderr)
        make_film("drive.mp4", frames=30)
        self.assertIn("undo", self.done("--help"))
        self.assertIn("film", self.json("undo", "demo.readbreak")["done"][0])
        self.assertEqual(self.json("film", "check", "demo.readbreak")["films"], [])

    def test_a_name_that_is_no_text(self):
        self.demo()
        make_film("one.mp4")
        name = os.fsdecode(b"caf\xe9 1.mp4")
        os.rename("one.mp4", name)
        film = self.json("film", "add", "demo.readbreak", name)["films"][0]
        self.assertTrue(film["added"])
        self.assertEqual(self.json("film", "check", "demo.readbreak")["films"][0]["stand"],
                         "found")

    def test_check_says_what_a_film_is(self):
        make_film("one.mp4", frames=45, rate="25")
        film = self.json("film", "check", "one.mp4")["films"][0]
        self.assertEqual((film["codec"], film["frames"], film["rate"]), ("h264", 45, "25/1"))
        self.assertIn("45 frames", self.done("film", "check", "one.mp4"))


def coded(width, height, number):
    """A grey picture whose rows are all the number's bits, most significant first, white and
    black by eighths of the width; 8 bits."""
    row = bytes(220 if number >> (7 - x * 8 // width) & 1 else 30 for x in range(width))
    return row * height


class Dump(rig.Case):
    """Every frame in every order, each known by the number in its picture."""

    FRAMES, WIDTH, HEIGHT = 48, 160, 96

    def make(self, name, *options):
        raw = b"".join(coded(self.WIDTH, self.HEIGHT, n) for n in range(self.FRAMES))
        with open("raw.gray", "wb") as file:
            file.write(raw)
        rig.ffmpeg("-f", "rawvideo", "-pix_fmt", "gray", "-s", f"{self.WIDTH}x{self.HEIGHT}",
                   "-r", "30", "-i", "raw.gray", "-pix_fmt", "yuv420p", *options, name)

    def dump(self, name, order, width, height, *options):
        self.done("film", "dump", name, "--order", order, "--out", "o.gray", "--list",
                  "o.tsv", *options)
        with open("o.gray", "rb") as file:
            pictures = file.read()
        with open("o.tsv", encoding="utf-8") as file:
            heads, *lines = [line.rstrip("\n").split("\t") for line in file]
        self.assertEqual(heads, ["ordinal", "pts", "time_base", "width", "height",
                                 "doubtful", "coded_width", "coded_height"])
        self.assertEqual(len(pictures), width * height * len(lines))
        for i, line in enumerate(lines):
            self.assertEqual(line[3:], [str(width), str(height), "0", str(self.WIDTH),
                                        str(self.HEIGHT)])
            middle = pictures[i * width * height:][height // 2 * width:][:width]
            number = sum((middle[(2 * bit + 1) * width // 16] > 125) << (7 - bit)
                         for bit in range(8))
            self.assertEqual(number, int(line[0]))
            num, den = map(int, line[2].split("/"))
            self.assertAlmostEqual(int(line[1]) * num / den, number / 30, places=3)
        return [int(line[0]) for line in lines]

    def test_three_orders(self):
        self.make("film.mp4", "-c:v", "libx264", "-bf", "2", "-g", "12", "-qp", "20")
        every = list(range(self.FRAMES))
        size = ("--size", "64x80")
        self.assertEqual(self.dump("film.mp4", "forward", 160, 96), every)
        self.assertEqual(self.dump("film.mp4", "backward", 64, 80, *size), every[::-1])
        some = self.dump("film.mp4", "shuffle", 64, 80, "--seed", "3", *size)
        self.assertEqual(sorted(some), every)
        self.assertNotEqual(some, every)
        self.assertEqual(self.dump("film.mp4", "shuffle", 160, 96, "--seed", "3"), some)
        self.assertNotEqual(self.dump("film.mp4", "shuffle", 160, 96, "--seed", "4"), some)

    def test_a_turned_film_is_dumped_as_coded(self):
        self.make("first.mp4", "-c:v", "libx264", "-qp", "20")
        rig.ffmpeg("-i", "first.mp4", "-c", "copy", "-metadata:s:v", "rotate=90", "turned.mp4")
        film = self.json("film", "check", "turned.mp4")["films"][0]
        self.assertEqual((film["width"], film["height"], film["coded_width"]), (96, 160, 160))
        self.assertIn(film["rotation"], (90, 270))
        self.dump("turned.mp4", "forward", 160, 96)

    def test_what_is_refused_leaves_nothing_behind(self):
        self.make("film.mp4", "-c:v", "libx264", "-qp", "20")
        before = rig.fingerprint("film.mp4")
        names = set(os.listdir("."))
        os.symlink("film.mp4", "link.gray")
        for out, tsv, says in [("link.gray", "o.tsv", "itself"), (".", "o.tsv", "not a file"),
                               ("o.gray", "o.gray", "two names"),
                               ("o.gray", "none/o.tsv", "none")]:
            self.refused("film", "dump", "film.mp4", "--out", out, "--list", tsv, says=says)
        self.refused("film", "dump", "raw.gray", "--out", "o.gray", "--list", "o.tsv",
                     says="not a film")
        for words in [("--order", "sideways"), ("--size", "0x10"), ("--size", "9")]:
            result = rig.run("film", "dump", "film.mp4", "--out", "o", "--list", "l", *words)
            self.assertEqual(result.returncode, 2)
        self.assertEqual(rig.run("film", "dump", "film.mp4").returncode, 2)
        self.assertEqual(rig.fingerprint("film.mp4"), before)
        self.assertEqual(set(os.listdir(".")), names | {"link.gray"})

    def test_check_goes_on_after_a_bad_file(self):
        self.make("film.mp4", "-c:v", "libx264", "-qp", "20")
        with open("bad.mp4", "w", encoding="utf-8") as file:
            file.write("no film")
        result = rig.run("film", "check", "bad.mp4", "film.mp4", "--json")
        self.assertEqual(result.returncode, 1)
        bad, good = json.loads(result.stdout)["films"]
        self.assertIn("not a film", bad["refused"])
        self.assertEqual(good["frames"], self.FRAMES)
        self.assertEqual(result.stderr.count("\n"), 1)


class NoFilm(rig.Case):
    """One sentence each, exit 1, nothing written."""

    def setUp(self):
        super().setUp()
        self.demo()
        self.done("backup", "demo.readbreak")  # the day's backup is there already

    def check_refused(self, name, says=""):
        for words in [("film", "check", name), ("film", "add", "demo.readbreak", name),
                      ("film", "frame", name, "0")]:
            self.refused(*words, says=says)

    def test_a_folder(self):
        os.mkdir("film.mp4")
        self.check_refused("film.mp4", "film.mp4")

    def test_zero_bytes(self):
        with open("film.mp4", "w", encoding="utf-8"):
            pass
        self.check_refused("film.mp4", "film.mp4")

    def test_text(self):
        with open("film.mp4", "w", encoding="utf-8") as file:
            file.write("This is a text, whatever its name says.\n" * 50)
        self.check_refused("film.mp4", "film.mp4")

    def test_cut_off_before_its_index(self):
        make_film("whole.mp4")
        with open("whole.mp4", "rb") as whole, open("film.mp4", "wb") as cut:
            cut.write(whole.read(os.path.getsize("whole.mp4") // 2))
        self.check_refused("film.mp4", "film.mp4")

    def test_sound_only(self):
        rig.ffmpeg("-f", "lavfi", "-i", "sine=duration=2", "film.m4a")
        os.rename("film.m4a", "film.mp4")
        self.check_refused("film.mp4", "film.mp4")

    def test_missing(self):
        self.check_refused("film.mp4", "film.mp4")

    def test_a_pipe(self):
        os.mkfifo("film.mp4")
        for words in [("film", "check", "film.mp4"), ("film", "frame", "film.mp4", "0")]:
            result = rig.run(*words)
            self.assertEqual(result.returncode, 1, result.stderr)
            self.assertEqual(len(result.stderr.splitlines()), 1)

    def test_no_permission(self):
        make_film("film.mp4")
        os.chmod("film.mp4", 0)
        options = {}
        if os.geteuid() == 0:  # root reads everything: become nobody
            options = {"user": 65534, "group": 65534, "extra_groups": []}
            try:
                rig.run("--version", **options)
            except (PermissionError, FileNotFoundError):
                self.skipTest("nobody may run the built program here")
        result = rig.run("film", "check", "film.mp4", **options)
        self.assertEqual(result.returncode, 1, result.stdout)
        self.assertEqual(len(result.stderr.splitlines()), 1, result.stderr)
        self.assertIn("film.mp4", result.stderr)

    def test_one_bad_film_among_good_ones_adds_none(self):
        make_film("good.mp4")
        self.refused("film", "add", "demo.readbreak", "good.mp4", "none.mp4",
                     says="none.mp4")
        self.assertEqual(self.json("film", "check", "demo.readbreak")["films"], [])
        self.refused("film", "add", "demo.readbreak", "good.mp4", "--game", 9, says="1 to 6")


unittest.addModuleCleanup(rig.remove_demos)
if __name__ == "__main__":
    unittest.main(verbosity=1)
