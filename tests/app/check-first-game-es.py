# SPDX-License-Identifier: GPL-3.0-or-later
"""A new assistant whose language is Spanish reads "Su primer partido" and does what it says, step by
step, in the real window by its keys. Every Spanish word looked for is first looked for in the page
itself or in the Spanish catalogue: if either changes, this test says where they part."""
import gettext
import json
import os
import shutil
import time
import xml.etree.ElementTree as xml

from window import (DESKS, Role, State, cli, demo, fail, key, mouse, opened, program, sheet_snap, step, wait_for)

SOURCE = os.path.join(os.path.dirname(os.path.abspath(__file__)), "..", "..")
PAGE = os.path.join(SOURCE, "ui", "help", "es", "first-game.html")
HTML = "{http://www.w3.org/1999/xhtml}"
# What the page calls a key: what the X server calls it.
KEYS = {"Espacio": "space", "Izquierda": "Left", "Derecha": "Right", "Enter": "Return",
        "Retroceso": "BackSpace", "Ctrl+Z": "ctrl+z"}


def squeezed(element):
    return " ".join("".join(element.itertext()).split())


class Page:
    """The page as it is shipped: its steps, and the keys each one tells."""

    def __init__(self):
        root = xml.parse(PAGE).getroot()
        self.steps = root.findall(".//%sli" % HTML)
        self.whole = squeezed(root)
        self.at = None

    def turn_to(self, number):
        self.at = self.steps[number - 1]

    def tells(self, words):
        """Those words, once they are seen to stand in the step."""
        if words not in squeezed(self.at):
            fail("the page no longer says “%s” in: %s" % (words, squeezed(self.at)))
        return words

    def press(self, name):
        """A key of the step, as the page spells it."""
        told = [squeezed(kbd) for kbd in self.at.iter(HTML + "kbd")]
        if name not in told:
            fail("the page does not tell the key %s, but %s" % (name, told))
        key(KEYS.get(name, name).replace("Ctrl", "ctrl"))


def spanish():
    """What the program's own catalogue makes of an English text, which must be in it."""
    folder = os.path.join(os.path.dirname(program("RB_APP")), "..", "..", "po")
    catalogue = gettext.translation("readbreak", folder, ["es"])

    def translate(text):
        found = catalogue.gettext(text)
        if found == text and text not in ("Snap %d", "Playbook", "Quarterback", "Cut-ups"):
            fail("“%s” has no Spanish" % text)
        return found
    return translate


def frame(window, film):
    """The number of the frame, as the film speaks it: "cuadro 25"."""
    words = window.described(film).split()
    return int(words[1]) if words[:1] == ["cuadro"] else None


def choose_entry(window, wanted):
    """Of the menu that is open, by its arrows."""
    wait_for("the menu", lambda: window.find(Role.MENU_ITEM, wanted))
    for _ in range(8):
        was = wait_for("an entry", window.focus_name)
        if was == wanted:
            break
        key("Down")
        wait_for("the next entry", lambda was=was: window.focus_name() not in (was, ""))
    key("Return")


def open_demo(window, page):
    """1. By the menu, from the page with the doors."""
    page.turn_to(1)
    mouse("mousemove", 5, 900)  # a menu goes with the pointer too
    page.press("F10")
    page.tells("Menú")
    for words in ("Biblioteca", "Abrir la temporada de demostración"):
        choose_entry(window, page.tells(words))
    wait_for("a snap of the demo season", lambda: window.find(Role.LABEL, starts="Snap "))


def watch(window, page, t):
    """2. Play, one frame, to the snap, the other angle."""
    page.turn_to(2)
    page.tells("mesa Registro")
    film = t("Film")
    first = wait_for("a snap with film", lambda: frame(window, film))
    page.press("Espacio")
    wait_for("the film to play", lambda: frame(window, film) > first + 3)
    page.press("Espacio")

    def stands():
        was = frame(window, film)
        return was == wait_for("a frame", lambda: frame(window, film)) and was
    at = wait_for("the film to stand", stands)
    page.press("Derecha")
    wait_for("one frame on", lambda: frame(window, film) == at + 1)
    page.press("Izquierda")
    wait_for("one frame back", lambda: frame(window, film) == at)
    page.press("s")
    wait_for("the snap", lambda: frame(window, film) < at)
    angles = [n.name for n in window.root().all() if n.has(State.PRESSED)]
    page.press("a")
    wait_for(lambda: "the other angle, not %s" % angles, lambda: [
        n.name for n in window.root().all() if n.has(State.PRESSED)] != angles)
    page.press("a")


def question(window):
    """What the rail asks now, in Spanish: "¿Cobertura?"."""
    node = next((n for n in window.root().all() if n.role != Role.LABEL and n.name.startswith("¿") and
                 n.name.endswith("?")), None)
    return node.name if node is not None else ""


def use_rail(window, page, t):
    """3. The rail: what it asks of a read not seen yet, left open, gone back to, accepted."""
    page.turn_to(3)
    page.press("r")
    nothing = t("Nothing left to ask")
    if nothing.split(" ", 1)[1].lower() not in page.tells("nada más que preguntar"):
        fail("the page does not say what the rail says: " + nothing)
    wait_for(nothing, lambda: window.contains(nothing))
    wait_for("the ladder", lambda: looks(window))
    unseen = page.tells(t("not seen yet"))
    for _ in range(4):
        if unseen in looks(window):
            break
        press_look(window, page)
    asked = wait_for("a question", lambda: question(window))
    page.press("Tab")
    wait_for("it left open", lambda: question(window) != asked)
    page.press("Retroceso")
    wait_for(asked, lambda: question(window) == asked)
    page.press("Enter")
    wait_for("the answer taken", lambda: question(window) != asked and unseen not in looks(window))
    was = sheet_snap(window)
    page.press("n")
    wait_for("the next snap", lambda: sheet_snap(window) not in (was, None))
    key("p")
    wait_for("the snap before", lambda: sheet_snap(window) == was)
    page.press("r")


def verdict(window):
    """As it is told to a screen reader: the status below the ladder."""
    desk = window.find(name="RbChartDesk")
    return next((n.name for n in desk.all() if n.role == Role.STATUS_BAR), "")


def press_look(window, page):
    """The look of the first read, as it is spoken after a press."""
    was = looks(window)
    page.press("1")
    return wait_for("another look", lambda: looks(window) != was and looks(window))


def is_ungraded(window, ungraded):
    """Whether it says so soon: the verdict comes after the look."""
    end = time.monotonic() + 3
    while verdict(window) != ungraded and time.monotonic() < end:
        time.sleep(0.05)
    return verdict(window) == ungraded


def set_looks(window, page, t, filmed):
    """4 and 5. The looks by their digits, until it says ungraded; then t to what settles it."""
    page.turn_to(4)
    wait_for("the snap with film", lambda: window.find(Role.LABEL, "Snap %d" % filmed["number"]))
    ladder = wait_for("the ladder", lambda: window.find(name=t("Ladder of reads")))
    if page.tells("escalera") not in ladder.name.lower():
        fail("the window calls the ladder otherwise: " + ladder.name)
    page.tells("veredicto")
    seen = [press_look(window, page) for _ in range(4)]
    for word in ("abierta", "cubierta", "no se distingue"):
        page.tells(word)
        if not any(word in words for words in seen):
            fail("no look is called %s: %s" % (word, seen))
    ungraded = t("Ungraded")
    for _ in range(5):
        if is_ungraded(window, ungraded):
            break
        press_look(window, page)
    page.turn_to(5)
    if page.tells("sin calificar") != verdict(window).lower():
        fail("with no look of the first read it is “%s”" % verdict(window))
    page.press("t")
    wait_for("the tag that settles it", lambda: [
        n for n in window.root().all() if n.role == Role.LIST_ITEM and n.has(State.FOCUSED)])
    key("Escape")
    if "Ctrl+Z deshace cada paso" not in page.whole:
        fail("the page no longer says what takes a step back")
    for _ in range(10):
        if not is_ungraded(window, ungraded):
            return
        key("ctrl+z")
    fail("ctrl+z did not bring the verdict back")


def looks(window):
    """The first rung as it is spoken."""
    return window.described("Escalera de lecturas")


def read_table(window, page, t, filmed):
    """6 and 7. The table, the ladder of a cell, the snaps of a rung, the help on the figure."""
    page.turn_to(6)
    page.press("Ctrl+3")
    page.tells("mesa Cruces")
    wait_for("the Pairings desk", lambda: window.has_desk("Cruces"))
    table = t("Pairing table")
    wait_for("the table", lambda: window.described(table))
    go_to_cell(window, table, filmed)
    page.turn_to(7)
    page.press("F1")
    window.focus("^%s$" % t("Help"))
    wait_for("what the figure means", lambda: window.root().find(name="Qué significa cada cifra"))
    key("Escape")
    window.focus("Readbreak")
    page.turn_to(6)
    page.press("Enter")
    wait_for("the ladder", lambda: window.focus_name() == t("Ladder of the pairing"))
    page.tells("escalera")
    page.press("Enter")
    wait_for("its snaps", lambda: window.focus_name().startswith("Snap "))


def go_to_cell(window, table, filmed):
    """By the arrows to the pairing that only the snap with film has."""
    def go(name, is_there):
        for _ in range(30):
            if is_there():
                return
            was = window.described(table)
            key(name)
            wait_for("the next cell", lambda was=was: window.described(table) != was)
        fail("no cell is of %s" % filmed)

    def heads():
        return window.described(table).split(":")[0].lower().replace(" ", "-")

    key("Home", "Page_Up")
    go("Down", lambda: heads().startswith(filmed["concept"] + "-"))
    go("Right", lambda: heads().endswith("-" + filmed["coverage"]))


def make_cutup(window, page):
    """8. A cut-up of the listed snaps, seen on its desk and watched."""
    page.turn_to(8)
    page.press("c")
    wait_for("the Cut-ups desk", lambda: window.has_desk("Cut-ups"))
    page.press("Ctrl+5")
    wait_for("its clips", lambda: window.focus_name().startswith("Snap ") or
             window.contains("1 clip"))
    film = wait_for("its film", lambda: next(
        (n for n in window.root().all() if n.role == Role.IMAGE and n.words.startswith("cuadro ")), None))
    before = film.words
    page.press("Enter")
    wait_for("the cut-up to play", lambda: any(
        n.path == film.path and n.words not in ("", before) for n in window.root().all()))


def play_snap(window, page, filmed):
    """The end of 6: one more Enter plays it."""
    page.turn_to(6)
    page.press("Ctrl+3")
    wait_for("its snaps", lambda: window.has_desk("Cruces"))
    key("Return")
    wait_for("the ladder", lambda: window.focus_name() == "Escalera del cruce")
    page.press("Enter")
    wait_for("its snaps", lambda: window.focus_name().startswith("Snap "))
    page.press("Enter")
    wait_for("the snap", lambda: window.has_desk("Registro") and
             window.find(Role.LABEL, "Snap %d" % filmed["number"]))


def see_quarterback(window, page, t):
    """9. His page, and the quiz."""
    page.turn_to(9)
    page.press("Ctrl+4")
    wait_for("his page", lambda: window.has_desk("Quarterback"))
    wait_for(lambda: "his errors, at " + window.focus_name(), lambda: " de " in window.focus_name())
    for word in ("errores", "reloj", "quiz"):
        page.tells(word)
    page.press("q")
    wait_for(lambda: "the quiz, at " + window.focus_name(),
             lambda: window.focus_name() == t("Start (Enter)"))
    key("Escape")


def prepare(folder):
    """The demo season where the program draws it the first time, drawn before. Its filmed snap gets
    a coverage that its concept never met: a cell of its own."""
    with open(os.path.join(folder, "truth.json"), encoding="utf-8") as file:
        snaps = json.load(file)["snaps"]
    filmed = next(snap for snap in snaps if "film" in snap)
    met = {snap["coverage"] for snap in snaps if snap["concept"] == filmed["concept"]}
    filmed["coverage"] = next(token for token in ("cover-2", "cover-0", "cover-1")
                              if token not in met)
    library = os.path.join(folder, "season.readbreak")
    cli("tag", library, "--snap", filmed["snap"], "coverage=" + filmed["coverage"], "--json")
    place = os.path.join(folder, "data", "readbreak")
    shutil.copytree(folder, place)
    os.rename(os.path.join(place, "season.readbreak"), os.path.join(place, "demo.readbreak"))
    return filmed


def main():
    page, t = Page(), spanish()
    DESKS.update({widget: t(tab) for widget, tab in DESKS.items()})
    os.environ["LANGUAGE"] = "es"
    with demo(film_snaps=1) as folder:
        filmed = prepare(folder)
        os.environ["XDG_DATA_HOME"] = os.path.join(folder, "data")
        with opened(os.path.join(folder, "season.readbreak"), plain=True) as window:
            open_demo(window, page)
            step("1: la temporada de demostración")
            watch(window, page, t)
            step("2: el video")
            use_rail(window, page, t)
            step("3: el riel")
            set_looks(window, page, t, filmed)
            step("4, 5: las lecturas y el veredicto")
            read_table(window, page, t, filmed)
            step("6, 7: la tabla y la cifra")
            make_cutup(window, page)
            step("8: el cut-up")
            play_snap(window, page, filmed)
            see_quarterback(window, page, t)
            step("9: el quarterback")
            window.close()


main()
