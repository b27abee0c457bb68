# SPDX-License-Identifier: GPL-3.0-or-later
"""The real window as the tests see it: keys go in by the X server, and what it says comes out
by the accessibility bus, as a screen reader hears it.

The bus is asked for the whole tree in one call (Cache.GetItems): a walk that asks each of a
thousand widgets for its name and state takes seconds on a busy machine.
"""
import contextlib
import ctypes
import functools
import json
import math
import os
import subprocess
import sys
import time

import gi

gi.require_version("Atspi", "2.0")
from gi.repository import Atspi, Gio, GLib  # noqa: E402
from prepared import demo  # noqa: E402,F401

PATIENCE_S = 40
LONG = "RB_TEST_LONG" in os.environ
ACCESSIBLE = "org.a11y.atspi.Accessible"
Role, State = Atspi.Role, Atspi.StateType
DESKS = {"RbChartDesk": "Chart", "RbPlaybookDesk": "Playbook", "RbPairingsDesk": "Pairings",
         "RbQuarterbackDesk": "Quarterback", "RbCutupsDesk": "Cut-ups"}
# What is in these rolls.
ROLLED = {Role.TREE_TABLE, Role.LIST, Role.TABLE, Role.SCROLL_PANE}
# What a person presses or fills in.
PRESSED = {Role.PUSH_BUTTON, Role.TOGGLE_BUTTON, Role.COMBO_BOX, Role.CHECK_BOX, Role.ENTRY,
           Role.TEXT, Role.RADIO_BUTTON}
# Of a table with a hundred rows of ten cells, so many rows are looked at: they are all alike.
ROWS = 8
# What a person can act on: each of these must have a name.
CONTROLS = {
    Role.PUSH_BUTTON, Role.TOGGLE_BUTTON, Role.COMBO_BOX, Role.SLIDER, Role.ENTRY, Role.TEXT,
    Role.IMAGE, Role.TABLE, Role.LIST, Role.LIST_ITEM, Role.CHECK_BOX,
}


def fail(message):
    print("FAILED:", message, file=sys.stderr)
    sys.exit(1)


def wait_for(what, found, patience_s=PATIENCE_S):
    """The first true answer of found(). Fails after patience_s with what, words or what says them. A
    look that takes long is followed by a rest as long: the window has work to do meanwhile."""
    end = time.monotonic() + patience_s
    while True:
        begun = time.monotonic()
        try:
            answer = found()
        except GLib.Error:  # a widget went away while it was looked at
            answer = None
        if answer:
            return answer
        if time.monotonic() > end:
            return fail("waited in vain for " + (what() if callable(what) else what))
        time.sleep(min(0.02 + time.monotonic() - begun, 0.5))


def key(*names):
    subprocess.run(["xdotool", "key", "--clearmodifiers", *names], check=True)


def write(text):
    subprocess.run(["xdotool", "type", "--delay", "15", text], check=True)


def mouse(*words):
    subprocess.run(["xdotool", *map(str, words)], check=True)


def cli(*words):
    """What readbreak-cli answers in JSON."""
    done = subprocess.run([program("RB_CLI"), *words], check=True, capture_output=True, text=True)
    return json.loads(done.stdout)


def geometry(window):
    """Width and height of a window on the display, by its number there."""
    told = subprocess.run(["xdotool", "getwindowgeometry", "--shell", window],
                          capture_output=True, text=True, check=False).stdout
    words = dict(line.split("=") for line in told.split())
    return int(words.get("WIDTH", 0)), int(words.get("HEIGHT", 0))


def shown(title):
    """The number of the window with that title, a pattern; "" if there is none. A tooltip or menu bears
    the title too: the largest one is meant, and of such the newest."""
    found = subprocess.run(["xdotool", "search", "--onlyvisible", "--name", title],
                           capture_output=True, text=True, check=False).stdout.split()
    return max(reversed(found), key=lambda window: math.prod(geometry(window)), default="")


def repeat_keys(on):
    """Whether the X server repeats a key that stays down. On a starved machine xdotool itself comes
    late to let a key go: one press must not become three then."""
    x11 = ctypes.CDLL("libX11.so.6")
    x11.XOpenDisplay.restype = ctypes.c_void_p
    display = ctypes.c_void_p(x11.XOpenDisplay(None))
    (x11.XAutoRepeatOn if on else x11.XAutoRepeatOff)(display)
    x11.XCloseDisplay(display)


def program(variable):
    return os.path.abspath(os.environ[variable])


class Bus:
    """The accessibility bus, asked without any cache of its own."""

    def __init__(self):
        session = Gio.bus_get_sync(Gio.BusType.SESSION)
        address = session.call_sync("org.a11y.Bus", "/org/a11y/bus", "org.a11y.Bus", "GetAddress",
                                    None, None, 0, -1, None).unpack()[0]
        flags = (Gio.DBusConnectionFlags.AUTHENTICATION_CLIENT |
                 Gio.DBusConnectionFlags.MESSAGE_BUS_CONNECTION)
        self.wire = Gio.DBusConnection.new_for_address_sync(address, flags, None, None)

    def packed(self, owner, path, interface, method, arguments=None):
        return self.wire.call_sync(owner, path, interface, method, arguments, None, 0,
                                   1000 * PATIENCE_S, None).get_child_value(0)

    def call(self, *words):
        return self.packed(*words).unpack()

    def children(self, owner, path):
        return self.call(owner, path, ACCESSIBLE, "GetChildren")

    def value(self, owner, path, name):
        return self.call(owner, path, "org.freedesktop.DBus.Properties", "Get",
                         GLib.Variant("(ss)", (ACCESSIBLE, name)))

    def application(self):
        """The owner of the window's tree, once there is one."""
        root = ("org.a11y.atspi.Registry", "/org/a11y/atspi/accessible/root")
        for owner, path in self.children(*root):
            if self.value(owner, path, "Name") == "readbreak":
                return owner, path
        return None


class Node:
    """One widget as it was when the tree was asked for. Its words are unpacked when they are asked
    for: all of a thousand widgets' would take most of the time."""

    def __init__(self, item):
        self.item = item
        self.path = item.get_child_value(0).get_child_value(1).get_string()
        self.parent_path = item.get_child_value(2).get_child_value(1).get_string()
        self.index = item.get_child_value(3).get_int32()
        self.count = item.get_child_value(4).get_int32()
        self.states = item.get_child_value(9).get_child_value(0).get_uint32()
        self.parent, self.children = None, []

    @functools.cached_property
    def name(self):
        return self.item.get_child_value(6).get_string()

    @functools.cached_property
    def role(self):
        return self.item.get_child_value(7).get_uint32()

    @property
    def words(self):
        return self.item.get_child_value(8).get_string()

    def has(self, state):
        return bool(self.states >> int(state) & 1)

    def is_shown(self):
        return self.role == Role.FRAME or self.has(State.VISIBLE)

    def is_named(self):
        """A toolkit name such as GtkButton is what a control is called when nobody named it. The
        button inside a drop-down or menu button speaks with its parent's name."""
        if self.name and not self.name.startswith(("Gtk", "Rb")):
            return True
        return (self.role == Role.PUSH_BUTTON and self.parent is not None and
                self.parent.role in (Role.COMBO_BOX, Role.PUSH_BUTTON) and self.parent.is_named())

    def fixed(self):
        """It and what is in it, but not what is in something that rolls."""
        yield self
        if self.role not in ROLLED:
            for child in self.children:
                if child.is_shown():
                    yield from child.fixed()

    def all(self):
        """It and all that is in it and shown, in order."""
        yield self
        for child in self.children:
            if child.is_shown():
                yield from child.all()

    def find(self, role=None, name=None, starts=None):
        for node in self.all():
            if (role is None or node.role == role) and (name is None or node.name == name) and \
                    (starts is None or node.name.startswith(starts)):
                return node
        return None


class Live:
    """One widget as it is whenever it is asked: for a look at one, without the tree."""

    def __init__(self, bus, owner, path):
        self.bus, self.owner, self.path = bus, owner, path

    @property
    def name(self):
        return self.bus.value(self.owner, self.path, "Name")

    @property
    def role(self):
        return self.bus.call(self.owner, self.path, ACCESSIBLE, "GetRole")

    @property
    def index(self):
        return self.bus.call(self.owner, self.path, ACCESSIBLE, "GetIndexInParent")

    @property
    def parent(self):
        return Live(self.bus, *self.bus.value(self.owner, self.path, "Parent"))

    def has(self, state):
        states = self.bus.call(self.owner, self.path, ACCESSIBLE, "GetState")
        return bool(states[0] >> int(state) & 1)

    def above(self):
        """It and what it is in, up to the window."""
        node = self
        while True:
            yield node
            if node.role in (Role.FRAME, Role.APPLICATION):
                return
            node = node.parent


class Window:
    """What the tests ask of the window."""

    def __init__(self, process):
        self.process, self.bus, self.paths, self.asked = process, Bus(), {}, 0
        self.owner, self.root_path = wait_for("the window", self.bus.application)
        repeat_keys(False)
        self.focus_path = None  # of what took the keyboard last, as the window tells it
        self.bus.wire.signal_subscribe(
            self.owner, "org.a11y.atspi.Event.Object", "StateChanged", None, "focused",
            Gio.DBusSignalFlags.NONE, self.take_focus)
        self.focus("Readbreak")

    @staticmethod
    def focus(title):
        """Without a window manager nobody gives a new window the keyboard. title: a pattern."""
        found = wait_for("the window %s on the display" % title, lambda: shown(title))
        subprocess.run(["xdotool", "windowfocus", "--sync", found], check=True, timeout=30)

    def items(self):
        packed = self.bus.packed(self.owner, "/org/a11y/atspi/cache", "org.a11y.atspi.Cache",
                                 "GetItems")
        nodes = [Node(packed.get_child_value(i)) for i in range(packed.n_children())]
        return {node.path: node for node in nodes}

    def root(self, exact=False, within=None):
        """The tree as it is now, without the desks that are not on top; of the windows only the one with
        the title within, if that is said. The list of all lacks a widget that nobody asked for yet, and
        still has one that was hidden: where the places do not add up, the parent is asked. They
        can add up by chance; so every fourth time, and when it must be exact, all are asked."""
        self.asked += 1
        exact = exact or self.asked % 4 == 0
        while True:
            found = self.items()
            for node in found.values():
                node.parent = found.get(node.parent_path)
                if node.parent is not None and node.parent is not node:
                    node.parent.children.append(node)
            if self.put_right(found[self.root_path], found, exact, within=within):
                return found[self.root_path]

    def put_right(self, node, found, exact, inside=False, within=None):
        """False: some were not in the list; now they will be. inside: it is a part of a desk or of
        the drawer."""
        whole = True
        rows = ROWS if node.parent is not None and node.parent.role == Role.TREE_TABLE else None
        inside = inside or node.name in DESKS or node.name == "RbDrawer"
        node.children.sort(key=lambda child: child.index)
        places = [child.index for child in node.children][:rows]
        if places != list(range(node.count))[:rows] or (exact and places):
            paths = [path for _, path in self.bus.children(self.owner, node.path)][:rows]
            for path in paths:
                if path not in found:
                    whole = False
                    if inside:
                        self.ask_for_all(path)
            node.children = [found[path] for path in paths if path in found]
        # From the last one: the head, which says what desk is on top, comes behind the desks.
        node.children = [child for child in reversed(node.children[:rows])
                         if self.is_on_top(child, found) and within in (None, child.name)]
        for child in node.children:
            if child.is_shown():
                whole = self.put_right(child, found, exact, inside) and whole
        node.children.reverse()
        return whole

    def ask_for_all(self, path):
        """All that is in it will be in the next list; of many alike the first ones."""
        for _, child in self.bus.children(self.owner, path)[:2 * ROWS]:
            self.ask_for_all(child)

    @staticmethod
    def is_on_top(node, found):
        """Whether nobody says that it is a desk or page that lies behind another one."""
        tab = DESKS.get(node.name)
        if tab is None:
            return True
        return any(other.has(State.PRESSED) for other in found.values()
                   if other.role == Role.PUSH_BUTTON and other.name == tab)

    def find(self, role=None, name=None, starts=None):
        return self.root().find(role, name, starts)

    def has_desk(self, label):
        """Whether that desk is chosen; its button stays, so it is asked alone."""
        if label not in self.paths:
            button = self.find(Role.PUSH_BUTTON, label)
            if button is None:
                return False
            self.paths[label] = button.path
        states = self.bus.call(self.owner, self.paths[label], ACCESSIBLE, "GetState")
        return bool(states[0] >> int(State.PRESSED) & 1)

    def says(self, words):
        return self.find(starts=words)

    def described(self, name):
        """The description of a widget that stays: found once, then asked alone."""
        try:
            if name in self.paths:
                return self.bus.value(self.owner, self.paths[name], "Description")
        except GLib.Error:
            del self.paths[name]
        node = self.find(name=name)
        if node is None:
            return ""
        self.paths[name] = node.path
        return node.words

    def frame(self, of="Film"):
        """The number of the frame shown, as the film speaks it."""
        words = self.described(of)
        return int(words.split()[1]) if words.startswith("frame ") else None

    def focused(self, within=None):
        """What has the keyboard. within: the title of a window beside the main one."""
        path = self.told_focus()
        if path is not None:
            told = Live(self.bus, self.owner, path)
            if within is None or any(node.name == within for node in told.above()):
                return told
        root = self.root(within=within)
        if within is not None:
            root = root.find(name=within)
        for node in root.all() if root is not None else ():
            if node.has(State.FOCUSED) and node.role != Role.FRAME:
                return node
        return None

    def take_focus(self, _wire, _sender, path, _interface, _signal, words):
        if words.get_child_value(1).get_int32() == 1:
            self.focus_path = path

    def told_focus(self):
        """The path of what has the keyboard, without a look at the tree; None if it is not known."""
        while GLib.MainContext.default().iteration(False):
            pass
        if self.focus_path is None:
            return None
        try:
            told = Live(self.bus, self.owner, self.focus_path)
            return self.focus_path if told.has(State.FOCUSED) else None
        except GLib.Error:  # it went away, or is not on the bus yet
            return None

    def focus_name(self, within=None):
        try:
            path = self.told_focus() if within is None else None
            if path is not None:
                return self.bus.value(self.owner, path, "Name")
        except GLib.Error:  # it went away
            self.focus_path = None
        node = self.focused(within)
        return node.name if node is not None else ""

    def tab_to(self, starts, within=None, by="Tab"):
        """Along the controls by Tab or shift+Tab, each seen, until one whose name starts so."""
        was = wait_for("the focus", lambda: self.focused(within))
        path, name = was.path, was.name
        for _ in range(40):
            if name.startswith(starts):
                return
            key(by)
            path = wait_for("what comes after " + name, lambda was=path: next(
                (told for told in [self.told_focus()] if told != was), None))
            name = self.bus.value(self.owner, path, "Name")
        fail("Tab never came to " + starts)

    def tag(self, label):
        row = self.says(label + ": ")
        return row.name[len(label) + 2:] if row is not None else None

    def nameless(self, within=None):
        root = self.root(exact=True, within=within)
        return ["%d of %s" % (node.role, node.parent.name)
                for node in (root if within is None else root.find(name=within)).all()
                if node.role in CONTROLS and not node.is_named() and node.has(State.FOCUSABLE)]

    def extents(self, node):
        """Left, top, width and height of a widget in its window."""
        return self.bus.call(self.owner, node.path, "org.a11y.atspi.Component", "GetExtents",
                             GLib.Variant("(u)", (1,)))

    def middle(self, node):
        """Of a widget, on the display: the window lies at its upper left."""
        x, y, width, height = self.extents(node)
        return x + width // 2, y + height // 2

    def expect_whole(self, where, width, height, within=None):
        """Every control is whole within a window of that size, but for those in what rolls. within:
        the title of a window beside the main one, or the name of a part. Returns what was looked at."""
        left = []
        title = within if within is not None and not within.startswith("Rb") else None

        def is_whole():
            root = self.root(exact=True, within=title)
            top = root if within is None else root.find(name=within)
            left[:] = self.outside(top, width, height)
            return top if not left else None

        return wait_for(lambda: "%s whole within the window; outside: %s" % (where, "; ".join(left)),
                 is_whole, 8)

    def outside(self, top, width, height):
        found = []
        for node in top.fixed():
            if node.role in PRESSED:
                x, y, wide, high = self.extents(node)
                if wide > 0 and (x < 0 or y < 0 or x + wide > width or y + high > height):
                    found.append("%s at %d,%d, %dx%d" % (node.name, x, y, wide, high))
        return found

    def contains(self, words):
        """Whether they are in anything that is on the screen."""
        return any(words in node.name for node in self.root().all())

    def resize(self, width, height):
        """Makes the main window that large, as a small screen does. Returns what came of it."""
        window = shown("Readbreak")
        mouse("windowsize", "--sync", window, width, height)
        self.focus("Readbreak")
        return geometry(window)

    def expect_names(self, where, within=None):
        """within: the title of a window beside the main one."""
        nameless = self.nameless(within)
        if nameless:
            fail("%s: controls without a name (role and parent): %s" %
                 (where, ", ".join(nameless)))

    def close(self):
        key("ctrl+q")
        if self.process.wait(timeout=PATIENCE_S) != 0:
            fail("the program ended with %d" % self.process.returncode)


@contextlib.contextmanager
def opened(library, *words, before=(), plain=False):
    """The window of a library, with the keyboard's focus; ended at the end, whatever comes. before:
    the command that runs it. plain: started without the library, beside which it keeps its files."""
    environment = dict(os.environ, GTK_A11Y="atspi", GDK_BACKEND="x11", GSK_RENDERER="cairo",
                       NO_AT_BRIDGE="0", XDG_CACHE_HOME=os.path.dirname(library),
                       XDG_STATE_HOME=os.path.dirname(library),
                       XDG_CONFIG_HOME=os.path.join(os.path.dirname(library), "settings"))
    process = subprocess.Popen([*before, program("RB_APP"), *words, *([] if plain else [library])],
                               env=environment)
    try:
        yield Window(process)
    finally:
        if process.poll() is None:
            process.kill()
            process.wait()


def counted_snaps(window):
    """The number of snaps the drawer lists, as it says it."""
    for node in window.root().all():
        words = node.name.split()
        if len(words) == 4 and words[1] in ("snap,", "snaps,") and words[3] == "chosen":
            return int(words[0])
    return 0


def sheet_snap(window):
    """The snap whose sheet is shown: "Snap 5"."""
    for node in window.root().all():
        words = node.name.split()
        if node.role == Role.LABEL and len(words) == 2 and words[0] == "Snap":
            return words[1]
    return None


def choose_coverage(window, wanted, letter):
    """Of the snap shown, by the list of its tags and keys alone."""
    key("g")
    wait_for("the tags", lambda: ": " in window.focus_name())
    rows = [n for n in window.root().all() if n.role == Role.LIST_ITEM and ": " in n.name]
    here = next(i for i, n in enumerate(rows) if n.has(State.FOCUSED))
    there = next(i for i, n in enumerate(rows) if n.name.startswith("Coverage: "))
    key(*["Down" if there > here else "Up"] * abs(there - here))
    wait_for("the coverage", lambda: window.focus_name().startswith("Coverage: "))
    key("Return")
    wait_for("the choices", lambda: window.find(Role.LIST_ITEM, wanted))
    key(letter)
    wait_for(wanted + " chosen", lambda: window.focus_name() == wanted)
    key("Return")
    wait_for("the new tag on screen", lambda: window.tag("Coverage") == wanted)


def stored_coverage(library, snap):
    for row in cli("snaps", library, "--json")["snaps"]:
        if row["snap"] == snap:
            return row["tags"]["coverage"]
    return fail("the snap is not in the library")


def step(words, since=[time.monotonic()]):  # noqa: B006
    """Says what is proven, and how long it took."""
    now = time.monotonic()
    print("%5.1f s  %s" % (now - since[0], words), flush=True)
    since[0] = now
