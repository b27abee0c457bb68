# SPDX-License-Identifier: GPL-3.0-or-later
"""What the tests of the command line share: running it, and films that are wrong."""
import hashlib
import json
import os
import shutil
import subprocess
import tempfile
import unittest

import jsonschema

CLI = os.environ["RB_CLI"]
LONG = "RB_TEST_LONG" in os.environ


with open(os.path.join(os.environ["RB_TEST_SCHEMA"], "cli.schema.json"), encoding="utf-8") as schema:
    SCHEMA = json.load(schema)
with open(os.path.join(os.environ["RB_TEST_SCHEMA"], "playbook.schema.json"), encoding="utf-8") as schema:
    PLAYBOOK = json.load(schema)
SCHEMAS = jsonschema.Draft202012Validator


def check_json(words, root):
    """What a command printed, against the schema of its name."""
    name = " ".join(map(str, words[:2]))
    name = name if name in SCHEMA["$defs"] else str(words[0])
    whole = {"$defs": SCHEMA["$defs"], "$ref": "#/$defs/" + name.replace(" ", "%20")}
    SCHEMAS(PLAYBOOK if name == "playbook show" else whole).validate(root)


def run(*words, **options):
    return subprocess.run([CLI, *map(str, words)], capture_output=True, text=True,
                          timeout=300, **options)


def fingerprint(folder):
    """Every file below a folder with its content: what "nothing written" means."""
    seen = {}
    for where, folders, files in os.walk(folder):
        for name in files:
            path = os.path.join(where, name)
            if os.path.isfile(path) and os.access(path, os.R_OK):
                with open(path, "rb") as file:
                    seen[path] = hashlib.sha256(file.read()).hexdigest()
            else:
                seen[path] = "unreadable"
        seen.update((os.path.join(where, name), "folder") for name in folders)
    return seen


def ffmpeg(*words):
    subprocess.run(["ffmpeg", "-v", "error", "-nostdin", "-y", *map(str, words)],
                   check=True, timeout=120)


class Case(unittest.TestCase):
    """Each test has an empty folder of its own and is in it."""

    def setUp(self):
        self.folder = tempfile.mkdtemp(prefix="rb-cli-")
        os.chmod(self.folder, 0o755)
        self.addCleanup(shutil.rmtree, self.folder, ignore_errors=True)
        self.before = os.getcwd()
        os.chdir(self.folder)
        self.addCleanup(os.chdir, self.before)

    def done(self, *words):
        """Runs a command that must work. Returns what it printed."""
        result = run(*words)
        self.assertEqual(result.returncode, 0, f"{words}: {result.stderr}")
        self.assertEqual(result.stderr, "")
        return result.stdout

    def json(self, *words):
        root = json.loads(self.done(*words, "--json"))
        check_json(words, root)
        return root

    def refused(self, *words, says="", **options):
        """Runs a command that must be refused: exit 1, one sentence, nothing written."""
        before = fingerprint(self.folder)
        result = run(*words, **options)
        self.assertEqual(result.returncode, 1, f"{words}: {result.stdout}{result.stderr}")
        self.assertEqual(result.stdout, "")
        lines = result.stderr.splitlines()
        self.assertEqual(len(lines), 1, result.stderr)
        self.assertTrue(lines[0].startswith("readbreak-cli: "), lines[0])
        self.assertTrue(lines[0].endswith("."), lines[0])
        self.assertIn(says, lines[0])
        self.assertEqual(fingerprint(self.folder), before, f"{words} wrote something")
        return lines[0]

    def misused(self, *words):
        """Runs a command line that makes no sense: exit 2, nothing written."""
        before = fingerprint(self.folder)
        result = run(*words)
        self.assertEqual(result.returncode, 2, f"{words}: {result.stdout}{result.stderr}")
        self.assertEqual(result.stdout, "")
        self.assertNotEqual(result.stderr, "")
        self.assertEqual(fingerprint(self.folder), before)
        return result.stderr

    def demo(self, name="demo.readbreak", seed=1):
        """A demo library without film; made once and copied."""
        cache = os.path.join(tempfile.gettempdir(), f"rb-cli-demos-{os.getpid()}")
        made = os.path.join(cache, str(seed))
        if not os.path.isdir(made):
            os.makedirs(made)
            self.done("demo", os.path.join(made, "demo.readbreak"), "--seed", seed,
                      "--no-film")
        shutil.copy(os.path.join(made, "demo.readbreak"), name)
        shutil.copy(os.path.join(made, "truth.json"), "truth.json")
        return name


def remove_demos():
    shutil.rmtree(os.path.join(tempfile.gettempdir(), f"rb-cli-demos-{os.getpid()}"),
                  ignore_errors=True)
