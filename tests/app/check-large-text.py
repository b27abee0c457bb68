# SPDX-License-Identifier: GPL-3.0-or-later
"""Text twice as large on the screen of a small laptop: every control of the Chart desk is within the
window, on every page and in every window that belongs to it; the other desks roll."""
import ctypes
import os
import subprocess
import time

from places import Places, out_of_the_way, prepare
from window import Role, counted_snaps, demo, fail, key, opened, sheet_snap, step, wait_for

WIDE, HIGH = 1366, 768


def set_text(percent):
    """What a person's desktop says of the size of text: 100 % is 96 dots an inch."""
    x11 = ctypes.CDLL("libX11.so.6")
    x11.XOpenDisplay.restype = ctypes.c_void_p
    x11.XDefaultRootWindow.restype = x11.XInternAtom.restype = ctypes.c_ulong
    display = ctypes.c_void_p(x11.XOpenDisplay(None))
    resources = b"Xft.dpi:\t%d\n" % (96 * percent // 100)
    x11.XChangeProperty(display, ctypes.c_ulong(x11.XDefaultRootWindow(display)),
                        ctypes.c_ulong(x11.XInternAtom(display, b"RESOURCE_MANAGER", 0)),
                        ctypes.c_ulong(x11.XInternAtom(display, b"STRING", 0)), 8, 0, resources,
                        len(resources))
    x11.XCloseDisplay(display)


def expect_inside(window, where, within=None):
    window.expect_whole(where, WIDE, HIGH, within)


def looks(name):
    """For a person: what stands on the display now."""
    folder = os.environ.get("RB_TEST_LOOKS")
    if folder:
        subprocess.run(["import", "-window", "root", os.path.join(folder, name + ".png")],
                       check=True)


def menu_box():
    """Width and the lowest line of the menu that is open: a window of its own over the main one."""
    found = subprocess.run(["xdotool", "search", "--onlyvisible", "--name", "Readbreak"],
                           capture_output=True, text=True, check=False).stdout.split()
    for number in found:
        told = subprocess.run(["xdotool", "getwindowgeometry", "--shell", number],
                              capture_output=True, text=True, check=False).stdout
        words = dict(line.split("=") for line in told.split())
        if words and int(words["WIDTH"]) < WIDE:
            return int(words["WIDTH"]), int(words["Y"]) + int(words["HEIGHT"])
    return None


def box_at_rest():
    was = menu_box()
    time.sleep(0.3)  # one menu slides over another
    return was if menu_box() == was else None


def expect_menu(where, other_than=None):
    wide, low = wait_for(where, lambda: next(
        (box for box in [box_at_rest()] if box not in (None, other_than)), None))
    if wide > WIDE or low > HIGH:
        fail("%s is %d wide, its lowest line %d" % (where, wide, low))
    return wide, low


def check_menus(window, places):
    """The main menu and each menu in it are no higher than the screen."""
    out_of_the_way()
    key("F10")
    wait_for("its entries", lambda: window.find(Role.MENU_ITEM, "Load film…"))
    wide, low = whole = expect_menu("the menu")
    key("Escape")
    wait_for("no menu", lambda: menu_box() is None)
    step("the menu: %d wide, its lowest line %d" % (wide, low))
    for title in ("Library", "Snaps and history", "Print", "Export", "Settings", "Help"):
        held = wait_for("the keyboard", window.focus_name)
        key("F10")
        wait_for("the menu", lambda: places.focus_has(Role.MENU_ITEM))
        for _ in range(20):
            was = window.focus_name()
            if was == title:
                break
            key("Down")
            wait_for("the next entry", lambda was=was: window.focus_name() != was)
        else:
            fail("the menu has no “%s”" % title)
        key("Return")
        wide, low = expect_menu("the menu " + title, other_than=whole)
        looks("menu " + title)
        key("Escape")
        wait_for("no menu", lambda: menu_box() is None)
        wait_for("the keyboard back", lambda held=held: window.focus_name() in (held, "Menu"))
        step("%s: %d wide, its lowest line %d" % (title, wide, low))


def check_drawer(window):
    for letter, ready, where in (
            ("l", lambda: counted_snaps(window), "the table of snaps"),
            ("m", lambda: window.find(Role.LIST, "Still open"), "what is still open"),
            ("h", lambda: window.find(Role.LIST, "History"), "the history"),
            ("b", lambda: window.find(name="Who charts"), "two charts")):
        key("ctrl+" + letter)
        wait_for(where, ready)
        expect_inside(window, where)
    key("ctrl+l")
    wait_for("the table of snaps", lambda: counted_snaps(window))
    key("Return", "Down")
    window.tab_to("Gain of snap")  # the last column is rolled into sight

    def is_seen():
        x, _, width, _ = window.extents(window.focused())
        return x >= 0 and x + width <= WIDE

    wait_for("the last column seen", is_seen)
    key("Escape")
    wait_for("the drawer away", lambda: not counted_snaps(window))


def check_windows(window, folder):
    for title in Places(window, folder, lambda text: text).windows():
        looks(title)
        expect_inside(window, title, title)
        step(title)
    key("shift+F2")
    wait_for("the film's keys", lambda: window.says("Log snaps"))
    expect_inside(window, "logging on film")
    key("shift+F2")


def is_seen(window, node):
    x, y, wide, high = window.extents(node)
    return wide == 0 or (x + wide > 0 and y + high > 0 and x < WIDE and y < HIGH)


def check_desk(window, letters, desk, is_there):
    """The window is no wider or higher for it. What does not fit rolls, sideways too, and whatever is
    tabbed to is rolled into sight."""
    key(letters)
    wait_for(desk, is_there)
    got = window.resize(WIDE, HIGH)
    if got != (WIDE, HIGH):
        fail("%s makes the window %dx%d" % (desk, *got))
    seen = set()
    node = wait_for("the focus", window.focused)
    while node.path not in seen and len(seen) < 30:
        seen.add(node.path)
        wait_for(lambda node=node: "%s, which has the focus, seen on the %s desk, not at %s" % (
            node.name, desk, window.extents(node)), lambda node=node: is_seen(window, node), 8)
        key("Tab")
        node = wait_for("the next control", lambda was=node.path: next(
            (now for now in [window.focused()] if now is not None and now.path != was), None))
    if len(seen) < 6:
        fail("%s: only %d controls were tabbed to" % (desk, len(seen)))
    step("%s: %d controls" % (desk, len(seen)))


def check_desks(window):
    check_desk(window, "ctrl+2", "Playbook", lambda: window.find(Role.LIST, "Concepts"))
    check_desk(window, "ctrl+3", "Pairings", lambda: window.find(Role.TABLE))
    check_desk(window, "ctrl+4", "Quarterback", lambda: window.contains("right decisions"))
    check_desk(window, "ctrl+5", "Cut-ups", lambda: window.contains("26 clips"))


def main():
    set_text(200)
    with demo(film_snaps=1) as folder:
        library = prepare(folder)
        with opened(library, plain=True) as window:
            wait_for("the doors", lambda: window.focus_name())
            window.resize(WIDE, HIGH)
            looks("doors")
            expect_inside(window, "the doors", "RbStartPage")
            step("the doors")
            window.close()
        with opened(library) as window:
            wait_for("the snap", lambda: sheet_snap(window))
            got = window.resize(WIDE, HIGH)
            if got != (WIDE, HIGH):
                fail("the window is %dx%d" % got)
            expect_inside(window, "the Chart desk")
            step("the Chart desk, text of 200 %")
            check_menus(window, Places(window, folder, lambda text: text))
            check_drawer(window)
            step("the drawer")
            check_windows(window, folder)
            check_desks(window)
            window.close()
    set_text(100)


main()
