# SPDX-License-Identifier: GPL-3.0-or-later
"""The exchange in the real window, by keyboard: theirs is taken from the shared folder, two facts in
conflict are listed, one is settled by a person, and mine is sent."""
import os

from places import quarrel, run
from window import cli, demo, fail, key, opened, step, wait_for, write

GAME = ("--game", "1", "--snap")


def down(library, snap):
    return cli("tag", library, *GAME, str(snap), "--json")["tags"].get("down")


def check(window, ann, bo, shared):
    key("ctrl+shift+x")
    window.focus("^Exchange")
    write(shared)
    key("Return")
    wait_for("what is to be taken", lambda: window.says("A new laptop: 2 changes to take."))
    window.expect_names("the exchange", "Exchange with the staff")
    key("alt+t")
    wait_for("what was taken", lambda: window.says("Taken: "))
    wait_for("both disputes", lambda: window.says("Snap 5 of ") and window.says("Snap 6 of "))
    wait_for("values in words", lambda: window.says("Sack, says Bo"))
    if down(ann, 5) != "3":
        fail("the newest value counts until somebody says otherwise: %s" % down(ann, 5))
    step("taken, and each dispute listed once")
    window.tab_to("2, says Ann", "Exchange with the staff")
    key("Return")
    wait_for("the value settled", lambda: down(ann, 5) == "2")
    wait_for("one dispute left", lambda: not window.says("Snap 5 of ") and
             window.says("Snap 6 of "))
    step("settled by a person")
    key("alt+s")
    wait_for("what was sent", lambda: window.says("Sent: "))
    run("exchange", "receive", bo, shared, "--as", "Bo")
    if down(bo, 5) != "2":
        fail("the other laptop has %s" % down(bo, 5))
    key("Escape")
    step("and the other laptop has it too")


def main():
    with demo() as folder:
        ann, bo, shared = (os.path.join(folder, name) for name in
                           ("season.readbreak", "bo.readbreak", "shared"))
        os.mkdir(shared)
        quarrel(ann, bo, shared)
        with opened(ann) as window:
            wait_for("the window", lambda: window.focus_name())
            check(window, ann, bo, shared)
            window.focus("Readbreak")
            window.close()


main()
