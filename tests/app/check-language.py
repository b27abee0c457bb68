# SPDX-License-Identifier: GPL-3.0-or-later
"""The window in a language whose texts are all 40 % longer, on the screen of a small laptop: nothing is
without a translation, and every control is within the window. Then from right to left."""
import os
import re
import shutil
import tempfile

from pseudo import FIRST, SOURCE, longer, translate
from window import DESKS, PRESSED, Role, cli, demo, fail, key, opened, program, step, wait_for

WIDE, HIGH = 1366, 768


def install(folder):
    """The program as it would be installed there, with nothing but what the window needs."""
    os.makedirs(os.path.join(folder, "bin"))
    data = os.path.join(folder, "share", "readbreak")
    built = os.path.dirname(program("RB_APP"))
    os.makedirs(data)
    shutil.copy(os.path.join(built, "gschemas.compiled"), data)
    shutil.copytree(os.path.join(SOURCE, "ui", "help"), os.path.join(data, "help"))
    os.environ["RB_APP"] = shutil.copy(program("RB_APP"), os.path.join(folder, "bin"))


def is_ours(node):
    """A text of the program, and not a name, a number or what the toolkit says."""
    return node.role in PRESSED and node.name not in ("Close", "Maximize", "Minimize") and re.search(r"[A-Za-z]{3}", node.name) and \
        not node.name.startswith(("Gtk", "Rb"))


def expect_translated(window, where, told=()):
    """told: of what a library holds."""
    left = sorted({node.name for node in window.root(exact=True).all() if is_ours(node) and
                   FIRST not in node.name and not any(word in node.name for word in told)})
    if left:
        fail("%s: not translated: %s" % (where, "; ".join(left)))


def desk(window, number, where, is_there):
    key("ctrl+%d" % number)
    window.focus("Readbreak")
    wait_for(where, is_there)
    got = window.resize(WIDE, HIGH)
    if got != (WIDE, HIGH):
        fail("%s makes the window %dx%d" % (where, *got))
    window.expect_whole(where, WIDE, HIGH)
    expect_translated(window, where)
    step(where)


def go_through(window, library):
    desk(window, 1, "Chart", lambda: window.contains("Snap 5"))
    key("ctrl+l")
    wait_for("the table of snaps", lambda: window.contains(" 0 "))
    window.expect_whole("the table of snaps", WIDE, HIGH)
    key("Escape")
    desk(window, 2, "Playbook", lambda: window.contains("Curl-flat"))
    desk(window, 3, "Pairings", lambda: window.find(Role.TABLE))
    desk(window, 4, "Quarterback", lambda: window.contains("right decisions"))
    cli("cutup", "make", library, "Eyes", "--stage", "eyes", "--json")
    desk(window, 5, "Cut-ups", lambda: window.contains("26 clips"))


def main():
    with demo(film_snaps=1) as folder, tempfile.TemporaryDirectory() as place:
        library = os.path.join(folder, "season.readbreak")
        install(place)
        DESKS.update({widget: longer(tab) for widget, tab in DESKS.items()})
        for language, way in (("xx", "longer"), ("he", "from right to left")):
            translate(place, language)
            os.environ["LANGUAGE"] = language
            with opened(library) as window:
                go_through(window, library)
                window.close()
            step(way)


main()
