# SPDX-License-Identifier: GPL-3.0-or-later
"""The program as it is installed: every file valid by its own standard's checker, run from a folder
that was moved and with no source tree, and taken away again with nothing left behind."""
import glob
import json
import os
import re
import shutil
import subprocess
import tempfile
import unittest

BUILD = os.environ["RB_BUILD"]
ID = "org.readbreak.Readbreak"
HELP = glob.glob("*/*.html", root_dir=os.path.join(os.environ["RB_SOURCE"], "ui", "help"))


def call(*words, **options):
    return subprocess.run([*map(str, words)], capture_output=True, text=True, timeout=300,
                          check=False, **options)


def files_below(folder):
    return sorted(os.path.relpath(os.path.join(where, name), folder)
                  for where, _, names in os.walk(folder) for name in names)


class Install(unittest.TestCase):
    @classmethod
    def setUpClass(cls):
        cls.folder = tempfile.mkdtemp(prefix="rb-install-")
        done = call("meson", "install", "-C", BUILD, "--no-rebuild", "--destdir",
                    os.path.join(cls.folder, "staged"))
        assert done.returncode == 0, done.stdout + done.stderr
        prefix, = glob.glob(os.path.join(cls.folder, "staged", "usr", "local"))
        cls.root = os.path.join(cls.folder, "moved")
        shutil.move(prefix, cls.root)

    @classmethod
    def tearDownClass(cls):
        shutil.rmtree(cls.folder)

    def below(self, *parts):
        found = glob.glob(os.path.join(self.root, *parts), recursive=True)
        self.assertEqual(len(found), 1, parts)
        return found[0]

    def valid(self, *words, **options):
        done = call(*words, **options)
        self.assertEqual((done.returncode, done.stderr), (0, ""), f"{words}: {done.stdout}")
        return done.stdout

    def run_moved(self, name, *words, **more):
        """One of the programs, with an environment that knows nothing of the build."""
        environment = {"PATH": "/usr/bin:/bin", "HOME": self.folder, "LANG": "C.UTF-8",
                       "XDG_DATA_DIRS": os.path.join(self.root, "share") + ":/usr/share", **more}
        return call(os.path.join(self.root, "bin", name), *words, env=environment,
                    cwd=self.folder)

    def libraries(self, *names):
        """Copies of one demo season."""
        if not os.path.exists(os.path.join(self.folder, "made")):
            os.mkdir(os.path.join(self.folder, "made"))
            done = self.run_moved("readbreak-cli", "demo", "made/demo.readbreak", "--no-film")
            self.assertEqual(done.returncode, 0, done.stderr)
        for name in names:
            shutil.copy(os.path.join(self.folder, "made", "demo.readbreak"),
                        os.path.join(self.folder, name))

    def test_nothing_is_installed_that_is_not_known(self):
        known = ["bin/readbreak", "bin/readbreak-cli", "libexec/readbreak-decode",
                 f"share/applications/{ID}.desktop", "share/bash-completion/completions/readbreak-cli",
                 f"share/dbus-1/services/{ID}.service", f"share/glib-2.0/schemas/{ID}.gschema.xml",
                 f"share/icons/hicolor/scalable/apps/{ID}.svg",
                 f"share/icons/hicolor/scalable/mimetypes/{ID}.library.svg",
                 f"share/icons/hicolor/symbolic/apps/{ID}-symbolic.svg",
                 *[f"share/man/{folder}/{name}.1" for folder in ("es/man1", "man1")
                   for name in ("readbreak-cli", "readbreak")],
                 f"share/metainfo/{ID}.metainfo.xml", f"share/mime/packages/{ID}.xml",
                 "share/readbreak/gschemas.compiled",
                 *[f"share/readbreak/help/{name}" for name in sorted(HELP)],
                 "share/readbreak/schema/cli.schema.json", "share/readbreak/schema/playbook.schema.json"]
        there = [name for name in files_below(self.root) if not name.startswith("share/locale/")]
        self.assertEqual(there, known)

    def test_each_file_is_valid_by_its_own_checker(self):
        share = os.path.join(self.root, "share")
        self.valid("desktop-file-validate", f"{share}/applications/{ID}.desktop")
        self.valid("appstreamcli", "validate", "--no-net", f"{share}/metainfo/{ID}.metainfo.xml")
        self.valid("glib-compile-schemas", "--strict", "--dry-run", f"{share}/glib-2.0/schemas")
        for name in glob.glob(f"{share}/**/*.svg", recursive=True) + \
                glob.glob(f"{share}/**/*.xml", recursive=True) + \
                glob.glob(f"{share}/**/*.html", recursive=True):
            self.valid("xmllint", "--noout", name)
        self.valid("bash", "-n", f"{share}/bash-completion/completions/readbreak-cli")
        for name in ("readbreak", "readbreak-cli"):
            for folder in ("man1", "es/man1"):
                self.valid("man", "--warnings", "-E", "UTF-8", "-l", "-Tutf8", "-Z",
                           f"{share}/man/{folder}/{name}.1")
            with open(f"{share}/man/man1/{name}.1", encoding="utf-8") as page:
                self.assertIn(".SH NAME\n", page.read())
            with open(f"{share}/man/es/man1/{name}.1", encoding="utf-8") as page:
                self.assertIn(".SH NOMBRE\n", page.read())

    def test_the_desktop_finds_the_program_of_a_library(self):
        """By shared-mime-info's own tools: a library is known by its content alone."""
        share = os.path.join(self.root, "share")
        data = os.path.join(self.folder, "data")
        shutil.copytree(os.path.join(share, "mime"), os.path.join(data, "mime"))
        shutil.copy("/usr/share/mime/packages/freedesktop.org.xml", os.path.join(data, "mime/packages"))
        self.valid("update-mime-database", os.path.join(data, "mime"),
                   env={"PATH": "/usr/bin:/bin", "XDG_DATA_HOME": data})
        names = ("season.readbreak", "without an ending")
        self.libraries(*names)
        for name in names:
            found = call("gio", "info", "-a", "standard::content-type",
                         os.path.join(self.folder, name),
                         env={"XDG_DATA_HOME": data, "XDG_DATA_DIRS": data, "PATH": "/usr/bin"})
            self.assertIn("application/vnd.readbreak.library", found.stdout, found.stderr)
        with open(self.below("share/applications", ID + ".desktop"), encoding="utf-8") as file:
            self.assertIn("MimeType=application/vnd.readbreak.library;", file.read())

    def test_the_main_job_is_done_with_no_source_tree(self):
        made = self.run_moved("readbreak-cli", "demo", "filmed.readbreak", "--film-snaps", "1")
        self.assertEqual(made.returncode, 0, made.stderr)
        self.assertIn("libavcodec", self.run_moved("readbreak-cli", "film", "check", "--report",
                                                   "/dev/null").stdout)
        for words in (["pairings"], ["ladder", "--costliest"], ["worklist"]):
            done = self.run_moved("readbreak-cli", words[0], "filmed.readbreak", *words[1:])
            self.assertEqual((done.returncode, done.stderr), (0, ""), words)
        film = glob.glob(os.path.join(self.folder, "filmed film", "*wide.mp4"))[0]
        done = self.run_moved("readbreak-cli", "film", "check", film)  # by the installed helper
        self.assertEqual(done.returncode, 0, done.stdout + done.stderr)

    def test_the_desktop_starts_one_program_with_a_window_a_library(self):
        """Activated over D-Bus, as a file manager does it (the Desktop Entry Specification)."""
        services = os.path.join(self.folder, "desktop", "dbus-1", "services")
        os.makedirs(services)
        with open(self.below("share/dbus-1/services", ID + ".service"), encoding="utf-8") as file:
            service = file.read()
        self.assertIn("Exec=/usr/local/bin/readbreak ", service)
        with open(os.path.join(services, ID + ".service"), "w", encoding="utf-8") as file:
            file.write(service.replace("/usr/local", self.root))
        self.libraries("one.readbreak", "two.readbreak")
        script = r"""
            count() { xdotool search --onlyvisible --name '^Readbreak|readbreak' | wc -l; }
            until_there_are() { n=0; while [ "$(count)" -ne "$1" ]; do
              n=$((n + 1)); [ $n -lt 300 ] || { echo "windows: $(count), not $1"; exit 1; }; sleep 0.1; done; }
            gapplication launch ID one.readbreak && until_there_are 1
            gapplication launch ID two.readbreak && until_there_are 2
            gapplication launch ID one.readbreak && sleep 2 && until_there_are 2
            pgrep -c -f "$ROOT/bin/readbreak --gapplication-service"
            pkill -f "$ROOT/bin/readbreak --gapplication-service"
            """.replace("ID", ID)
        done = call("xvfb-run", "-a", "dbus-run-session", "--", "sh", "-c", script, cwd=self.folder,
                    env={"PATH": "/usr/bin:/bin", "HOME": self.folder, "LANG": "C.UTF-8",
                         "ROOT": self.root, "GDK_BACKEND": "x11", "GSK_RENDERER": "cairo",
                         "GSETTINGS_BACKEND": "memory", "XDG_RUNTIME_DIR": self.folder,
                         "XDG_DATA_DIRS": os.path.join(self.folder, "desktop") + ":" +
                         os.path.join(self.root, "share") + ":/usr/share"})
        self.assertEqual(done.returncode, 0, done.stdout + done.stderr)
        self.assertEqual(done.stdout.split()[-1], "1", done.stderr)
        self.assertNotIn("CRITICAL", done.stderr)

    def test_completion_offers_what_help_lists(self):
        listed = re.findall(r"(?m)^  ([a-z]+)(?: [a-z]+)? +\S", self.run_moved("readbreak-cli", "--help").stdout)
        script = (f'. "{self.below("share/bash-completion/completions/readbreak-cli")}"; '
                  'COMP_WORDS=(readbreak-cli {}); COMP_CWORD={}; _readbreak_cli 2>/dev/null; '
                  'printf "%s\\n" "${{COMPREPLY[@]}}"')
        first = call("bash", "-c", script.format('""', 1))
        self.assertLessEqual(set(listed), set(first.stdout.split()), first.stderr)
        second = call("bash", "-c", script.format('film ""', 2))
        self.assertLessEqual({"add", "import", "check", "frame"}, set(second.stdout.split()))
        option = call("bash", "-c", script.format("ladder --cost", 2))
        self.assertEqual(option.stdout.split(), ["--costliest"])

    def test_the_manual_has_every_command_and_option_of_help(self):
        page = call("man", "-l", self.below("share/man/man1/readbreak-cli.1"),
                    env={"MANWIDTH": "400", "LC_ALL": "C.UTF-8", "PATH": "/usr/bin:/bin"}).stdout
        commands = re.findall(r"(?m)^  ([a-z]+(?: [a-z]+)?)  +\S",
                              self.run_moved("readbreak-cli", "--help").stdout)
        self.assertGreater(len(commands), 40)
        for command in commands:
            self.assertRegex(page, rf"(?m)^ +{command}$")
            for option in re.findall(r"(?m)^  (--[a-z-]+)",
                                     self.run_moved("readbreak-cli", *command.split(), "--help").stdout):
                self.assertIn(option, page, command)

    def test_taken_away_nothing_is_left(self):
        """The real list of what is installed, below another prefix, beside a neighbour's file."""
        source = os.environ["RB_SOURCE"]
        told = json.loads(call("meson", "introspect", "--installed", BUILD).stdout).values()
        for neighbours in ([], ["share/applications/other.desktop"]):
            prefix = os.path.join(self.folder, "prefix")
            shutil.copytree(self.root, prefix)
            for name in neighbours:
                with open(os.path.join(prefix, name), "w", encoding="utf-8") as file:
                    file.write("[Desktop Entry]\nType=Application\nName=Other\nExec=true\n"
                               "MimeType=text/x-other;\n")
            environment = {**os.environ, "MESON_INSTALL_PREFIX": prefix}
            made = call("sh", f"{source}/ui/install/caches.sh", "share", env=environment)
            self.assertEqual(made.returncode, 0, made.stderr)
            for name in ("mime/mime.cache", "glib-2.0/schemas/gschemas.compiled",
                         "applications/mimeinfo.cache"):
                self.assertTrue(os.path.exists(os.path.join(prefix, "share", name)), name)
            with open(os.path.join(self.folder, "list"), "w", encoding="utf-8") as file:
                file.writelines(path.replace("/usr/local", prefix, 1) + "\n" for path in told)
            gone = call("sh", f"{source}/ui/install/remove.sh", prefix, "share",
                        os.path.join(self.folder, "list"))
            self.assertEqual(gone.returncode, 0, gone.stderr)
            left = files_below(prefix) if os.path.exists(prefix) else []
            self.assertEqual([name for name in left if not name.endswith("mimeinfo.cache")],
                             neighbours)
            self.assertEqual(os.path.exists(prefix), bool(neighbours))
            shutil.rmtree(prefix, ignore_errors=True)


if __name__ == "__main__":
    unittest.main(verbosity=1)
