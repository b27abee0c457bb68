# SPDX-License-Identifier: GPL-3.0-or-later
"""Help and start by keyboard alone: F1 opens the page of what has the keyboard, each page is spoken
and every control on it named; without a library there are doors, and the last library is the first."""
import os

from window import Role, demo, key, mouse, opened, sheet_snap, shown, step, wait_for


def shown_page(window):
    """What rolls the page of the help, named by its title, and the texts on it."""
    root = window.root().find(name="Help")
    page = root and next((n for n in root.all() if n.role == Role.SCROLL_PANE and n.name and
                          n.find(Role.LIST) is None), None)
    texts = page.all() if page else ()
    return page, [node.name for node in texts if node.role in (Role.LABEL, Role.HEADING)]


def expect_help(window, words):
    window.focus("^Help$")
    wait_for(words, lambda: words in shown_page(window)[1])
    window.expect_names("the help", "Help")
    key("Escape")
    window.focus("Readbreak")
    wait_for("the help away", lambda: window.root().find(name="Help") is None)


def check_topics(window):
    key("F1")
    expect_help(window, "Tagging a game")
    step("help on tagging")
    key("ctrl+3")
    wait_for("the table", lambda: window.has_desk("Pairings") and
             window.described("Pairing table") != "")
    key("Right", "F1")
    expect_help(window, "What each figure means")
    key("ctrl+2", "F1")
    expect_help(window, "Building a concept")
    step("help on a figure and on a concept")
    key("ctrl+1")
    wait_for("the Chart desk", lambda: window.has_desk("Chart"))


def check_page_without_links(window):
    """The page itself takes the keyboard, rolls by arrows and page keys, and Tab goes on from it."""
    key("ctrl+2", "F1")
    window.focus("^Help$")
    wait_for("the page's line of the contents",
             lambda: window.focus_name("Help") == "Building a concept")
    mouse("windowsize", "--sync", shown("^Help$"), 980, 300)
    window.focus("^Help$")
    page = shown_page(window)[0]
    first = next(node for node in page.all() if node.role in (Role.LABEL, Role.HEADING))
    key("Tab")
    wait_for("the keyboard on the page", lambda: window.told_focus() == page.path)
    top = place = window.extents(first)[1]
    for name in ("Down", "Page_Down"):
        key(name)
        wait_for("the page rolled by " + name, lambda: window.extents(first)[1] < place)
        place = window.extents(first)[1]
    wait_for("the page rolled back", lambda: window.extents(first)[1] == top or key("Up"))
    key("Tab")
    wait_for("the keyboard on", lambda: window.told_focus() not in (page.path, None))
    key("Escape")
    window.focus("Readbreak")
    wait_for("the help away", lambda: window.root().find(name="Help") is None)
    key("ctrl+1")
    wait_for("the Chart desk", lambda: window.has_desk("Chart"))
    step("a page without links rolled by keyboard")


def help_in(window, title, words, *keys):
    """F1 in a window that stands over the main one."""
    key(*keys)
    window.focus(title)
    key("F1")
    window.focus("^Help$")
    wait_for("%s, from %s" % (words, title), lambda: words in shown_page(window)[1])
    key("F1")  # in the help itself: its first page
    wait_for("the contents", lambda: words not in shown_page(window)[1])
    key("Escape")
    window.focus(title)
    wait_for("the help away", lambda: window.root().find(name="Help") is None)
    key("Escape")
    window.focus("Readbreak")
    step("help in “%s”" % title)


def check_windows(window):
    """Windows for one task are served as the main one is."""
    help_in(window, "Keys", "The rail", "ctrl+question")
    help_in(window, "New game", "The rail", "ctrl+shift+g")


def check_start(window, name):
    """The doors of a window without a library."""
    wait_for("the last library's door", lambda: window.focus_name() == "Go on: " + name)
    for title in ("Make a library", "Open the demo season", "Open a library"):
        key("Tab")
        wait_for(title, lambda title=title: window.focus_name().startswith(title + ": "))
    key("Tab")
    wait_for("the first game", lambda: window.focus_name() == "Your first game, in ten minutes")
    key("Return")
    expect_help(window, "Your first game")
    step("three doors and the last library's")
    key("shift+Tab", "shift+Tab", "shift+Tab", "shift+Tab")
    wait_for("the last library's door", lambda: window.focus_name() == "Go on: " + name)
    key("Return")
    wait_for("the snap", lambda: sheet_snap(window))


def check_trouble(window):
    """A library that is not there: the sentence, and the doors."""
    wait_for("the sentence", lambda: window.says("There is no library"))
    wait_for("a door", lambda: window.says("Make a library"))
    step("a library that is gone")


def main():
    with demo() as folder:
        library = os.path.join(folder, "season.readbreak")
        with opened(library) as window:
            wait_for("the snap", lambda: sheet_snap(window))
            check_topics(window)
            check_page_without_links(window)
            check_windows(window)
            window.close()
        with opened(library, plain=True) as window:
            check_start(window, "season.readbreak")
            window.close()
        with opened(os.path.join(folder, "gone.readbreak")) as window:
            check_trouble(window)
            window.close()


main()
