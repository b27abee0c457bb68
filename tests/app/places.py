# SPDX-License-Identifier: GPL-3.0-or-later
"""Every desk, every page of one, and every window beside them, one after the other by keyboard, in
whatever language: what must hold everywhere is looked at in each."""
import contextlib
import glob
import os
import sqlite3
import subprocess

from window import Role, State, cli, key, mouse, program, wait_for, write


def run(*words):
    subprocess.run([program("RB_CLI"), *words], check=True, stdout=subprocess.DEVNULL)


def quarrel(ann, bo, shared):
    """Two laptops with one game, and two facts that each tells otherwise."""
    game = ("--game", "1", "--snap")
    run("exchange", "send", ann, shared, "--as", "Ann")
    run("new", bo, "--as", "Bo")
    run("exchange", "receive", bo, shared, "--as", "Bo")
    for library, who, value in ((ann, "Ann", "2"), (bo, "Bo", "3")):
        run("tag", library, *game, "5", "down=" + value, "--as", who)
    run("tag", ann, *game, "6", "result=incomplete", "--as", "Ann")
    run("tag", bo, *game, "6", "result=sack", "--as", "Bo")
    run("exchange", "send", bo, shared, "--as", "Bo")


def prepare(folder):
    """What the windows need to show something: facts in conflict, a log, a cut-up, clips without a snap
    mark."""
    ann, bo, shared = (os.path.join(folder, name) for name in
                       ("season.readbreak", "bo.readbreak", "shared"))
    os.mkdir(shared)
    quarrel(ann, bo, shared)
    with open(os.path.join(folder, "log.csv"), "w", encoding="utf-8") as file:
        file.write("Nr.;Down;To go;Spot\n1;1;10;-25\n2;2;7;-28\n")
    cli("cutup", "make", ann, "Eyes", "--stage", "eyes", "--json")
    with contextlib.closing(sqlite3.connect(ann)) as base, base:
        base.execute("UPDATE mark SET removed = 1 WHERE kind = 'snap'")
    return ann


class Places:
    """Where the window can be. t: the translation of an English text into the window's language."""

    def __init__(self, window, folder, t):
        self.window, self.folder, self.t = window, folder, t

    def contains(self, words):
        return self.window.contains(words)

    def go(self, desk, english):
        key("ctrl+%d" % desk)
        self.window.focus("Readbreak")
        wait_for("the desk %s" % english, lambda: self.window.has_desk(self.t(english)))

    def focus_has(self, role):
        node = self.window.focused()
        return node is not None and node.role == role

    def desk(self, number):
        """One of the five, once it shows something. Returns words for it."""
        english, what, ready = (
            ("Chart", "the snap", lambda: self.contains(self.t("Snap %d") % 5)),
            ("Playbook", "a concept", lambda: self.contains("Curl-flat")),
            ("Pairings", "the table", lambda: self.window.find(Role.TABLE)),
            ("Quarterback", "his figures", lambda: self.focus_has(Role.LIST_ITEM)),
            ("Cut-ups", "the clips", lambda: self.contains("Eyes")))[number - 1]
        self.go(number, english)
        wait_for(what, ready)
        return "the %s desk" % english

    def desks(self):
        """Words for each place of the main window."""
        t = self.t
        yield self.desk(1)
        key("g")
        wait_for("the tags", lambda: self.focus_has(Role.LIST_ITEM))
        yield "all tags"
        key("r")
        yield from self.drawer()
        key("m")
        wait_for("what is measured", lambda: self.contains(t("What was measured")))
        yield "measuring"
        key("Escape")
        key("shift+F2")
        wait_for("the film's keys", lambda: self.contains(t("Log snaps")))
        yield "logging on film"
        key("shift+F2")
        yield self.desk(2)
        yield self.desk(3)
        yield from self.studies()
        yield self.desk(4)
        key("q")
        wait_for("the quiz", lambda: self.contains(t("Start (Enter)")))
        yield "the quiz"
        key("Escape")
        yield self.desk(5)

    def drawer(self):
        for letter, words in (("l", "the table of snaps"), ("m", "what is still open"),
                              ("h", "the history"), ("b", "two charts")):
            was = self.window.focused()
            key("ctrl+" + letter)
            wait_for(words, lambda was=was: self.window.focused() is not None and
                     (was is None or self.window.focused().path != was.path))
            yield words
        key("Escape")

    def studies(self):
        """The work list and two filters side by side, by the menu over the table."""
        for words in ("the work list", "two filters compared"):
            for _ in range(40):
                node = self.window.focused()
                if node is not None and node.index == 0 and Role.COMBO_BOX in (
                        node.role, node.parent.role) and self.is_study(node):
                    break
                was = node.path if node is not None else None
                key("shift+Tab")
                wait_for("the control before", lambda was=was: (
                    lambda now: now is not None and now.path != was)(self.window.focused()))
            key("space")
            wait_for("the choices", lambda: self.focus_has(Role.LIST_ITEM))
            key("Down", "Return")
            wait_for("the page of " + words, lambda: not self.focus_has(Role.LIST_ITEM))
            yield words

    def is_study(self, node):
        combo = node if node.role == Role.COMBO_BOX else node.parent
        return combo.name == self.t("Shown")

    @contextlib.contextmanager
    def beside(self, english, *keys):
        """A window beside the main one, opened by those keys; closed by Escape. Its title."""
        title = self.t(english)
        key(keys[0])
        for letter in keys[1:]:  # in a menu, once it is there
            wait_for("the menu", lambda: self.focus_has(Role.MENU_ITEM))
            key(letter)
        self.window.focus(english)
        wait_for(title, lambda: self.window.root(within=title).find(name=title))
        yield title
        key("Escape")
        wait_for(title + " away", lambda: self.window.root(within=title).find(name=title) is None)
        self.window.focus("Readbreak")

    def windows(self):
        """The titles of the windows beside the main one, each with something in it."""
        window = self.window
        self.go(1, "Chart")
        for english, keys in (("Help", ("F1",)), ("Keys", ("shift+F1",)),
                              ("New game", ("ctrl+shift+g",)), ("Required tags", ("F10", "s", "g"))):
            with self.beside(english, *keys) as title:
                yield title
        film = glob.glob(os.path.join(glob.escape(self.folder), "* film", "snaps"))[0]
        for english, keys, path in (
                ("Load film", ("ctrl+shift+o",), film),
                ("Play log", ("ctrl+shift+l",), os.path.join(self.folder, "log.csv")),
                ("Exchange with the staff", ("ctrl+shift+x",), os.path.join(self.folder, "shared"))):
            with self.beside(english, *keys) as title:
                yield title
                write(path)
                key("Return")
                self.wait_filled(title, english)
                yield title
        with self.beside("Find the snaps", "ctrl+shift+s") as title:
            wait_for("the snaps looked for", lambda: window.root(within=title).find(name=title).find(
                Role.LIST_ITEM), 120)
            yield title

    def wait_filled(self, title, english):
        window = self.window
        if english.startswith("Exchange"):  # once the folder was read there is something to take
            wait_for("what was taken", lambda: self.contains(" Ann") or key("alt+t"), 60)
            return
        if english == "Play log":
            wait_for("the log understood", lambda: window.contains("Nr."))
            return
        wait_for("what was read", lambda: window.root(within=title).find(name=title).find(Role.LIST_ITEM), 120)


def out_of_the_way():
    """A menu goes with the pointer, and a pointer over a control shows its tooltip."""
    mouse("mousemove", 1900, 1000)
