# SPDX-License-Identifier: GPL-3.0-or-later
"""The window in a language whose texts are all 40 % longer, on the screen of a small laptop: nothing is
without a translation, and every control is within the window. Then from right to left."""
import os
import re
import shutil
import subprocess
import tempfile

from places import Places, out_of_the_way, prepare
from pseudo import FIRST, SOURCE, longer, translate
from window import DESKS, LONG, PRESSED, demo, fail, geometry, opened, program, step, wait_for

WIDE, HIGH = 1366, 768
# What a library holds, and no language does.
TOLD = ("Curl-flat",)


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


def expect_translated(top, where):
    left = sorted({node.name for node in top.all() if is_ours(node) and FIRST not in node.name and
                   not any(word in node.name for word in TOLD)})
    if left:
        fail("%s: not translated: %s" % (where, "; ".join(left)))


def look_at(window, where, title=None):
    """A place of the main window, or a window beside it, on the small screen."""
    out_of_the_way()
    if title is None:
        got = window.resize(WIDE, HIGH)
        if got != (WIDE, HIGH):
            fail("%s makes the window %dx%d" % (where, *got))
    else:
        fit(window)
    expect_translated(window.expect_whole(where, WIDE, HIGH, title), where)
    step(where)


def fit(window):
    """The windows beside the main one are no larger than the screen either."""
    shown = subprocess.run(["xdotool", "search", "--onlyvisible", "--name", "."], check=True,
                           capture_output=True, text=True).stdout.split()
    for number in shown:
        wide, high = geometry(number)
        if wide > WIDE or high > HIGH:
            fail("a window of %s is %dx%d" % (window, wide, high))


def go_through(window, folder, beside):
    """beside: the windows beside the main one too."""
    places = Places(window, folder, longer)
    for where in places.desks():
        look_at(window, where)
    for title in places.windows() if beside else ():
        look_at(window, title, title)


def main():
    with demo(film_snaps=1) as folder, tempfile.TemporaryDirectory() as place:
        library = prepare(folder)
        install(place)
        DESKS.update({widget: longer(tab) for widget, tab in DESKS.items()})
        for language, way in (("xx", "longer"), ("he", "from right to left")):
            translate(place, language)
            os.environ["LANGUAGE"] = language
            with opened(library, plain=True) as window:
                wait_for("the doors", lambda: window.focus_name())
                look_at(window, "the doors")
                window.close()
            with opened(library) as window:
                go_through(window, folder, LONG or language == "xx")
                window.close()
            step(way)


main()
