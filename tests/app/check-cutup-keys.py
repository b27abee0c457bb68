# SPDX-License-Identifier: GPL-3.0-or-later
"""A cut-up made in the real window of a part of the ladder, ordered, run and exported, by keyboard
alone."""
import os
import subprocess

from window import cli, demo, fail, key, opened, step, wait_for, write


def check_cutups(window, library, folder):
    """A cut-up made of a part of the ladder, ordered, run and exported, by keyboard alone."""
    key("ctrl+3")
    wait_for("the table", lambda: window.has_desk("Pairings"))
    key("Home", "Prior")
    wait_for("all dropbacks", lambda: window.find(starts="All concepts against"))
    key("Return")
    wait_for("the ladder", lambda: window.focus_name() == "Ladder of the pairing")
    key("c")
    wait_for("Cut-ups", lambda: window.has_desk("Cut-ups"))
    made = wait_for("the cut-up", lambda: cli("cutup", "list", library, "--json")["cutups"])
    name = made[0]["name"]
    if made[0]["clips"] < 100:
        fail("the cut-up has %d clips" % made[0]["clips"])

    def clips():
        return cli("cutup", "show", library, name, "--json")["clips"]

    before = clips()
    wait_for("the first clip", lambda: window.focus_name().startswith("1. "))
    key("alt+Down")
    wait_for("the clips in another order",
             lambda: [c["snap"] for c in clips()][:2] == [before[1]["snap"], before[0]["snap"]])
    key("ctrl+z")
    wait_for("the old order", lambda: [c["snap"] for c in clips()] == [c["snap"] for c in before])
    filmed = next(clip for clip in before if clip["missing"] is None)
    wait_for("the list again", lambda: window.focus_name()[:3] in ("1. ", "2. "))
    window.expect_names("Cut-ups desk")
    key("Return")
    wait_for("the film to run",
             lambda: (window.frame() or 0) > filmed["first"] + 5)
    key("k")
    target = os.path.join(folder, "out.mp4")
    key("e")
    wait_for("the place to export to",
             lambda: window.focus_name() == "File or folder to export to")
    key("ctrl+a")
    write(target)
    key("Return")
    wait_for("the exported film", lambda: os.path.exists(target))
    probe = subprocess.run(
        ["ffprobe", "-v", "error", "-count_packets", "-select_streams", "v", "-show_entries",
         "stream=nb_read_packets", "-of", "csv=p=0", target],
        check=True, capture_output=True, text=True)
    if int(probe.stdout) != filmed["last"] - filmed["first"] + 1:
        fail("the export has %s frames" % probe.stdout.strip())


def main():
    with demo(film_snaps=1) as folder:
        library = os.path.join(folder, "season.readbreak")
        step("a demo library")
        with opened(library) as window:
            wait_for("the Chart desk", lambda: window.has_desk("Chart"))
            check_cutups(window, library, folder)
            step("a cut-up made, ordered, run and exported")
            window.close()


main()
