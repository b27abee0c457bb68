# SPDX-License-Identifier: GPL-3.0-or-later
"""What a person who does not see the window, or has no mouse, meets at each desk, on each page of one
and in each window beside them, over the accessibility bus.

- Every control has a name.
- Tab goes round: each control is reached, shift+Tab goes back, and no step of the way leads up within
  a column (WCAG 2.1, 2.1.1, 2.1.2 and 2.4.3, from memory: by keyboard, no trap, in an order that keeps
  the meaning).
- What has the keyboard says so, and it alone; what is pressed, checked or opened says so.
- A verdict that changes is told of at once by a status (4.1.3).

RB_TEST_LONG walks every page of the desks and every window, not only the desks and the help.
"""
import time

from gi.repository import Gio, GLib
from places import Places, out_of_the_way, prepare
from window import (ACCESSIBLE, CONTROLS, LONG, PRESSED, Role, State, cli, demo, fail, key, opened, step,
                    wait_for)

# What is in these is walked by the arrows.
BY_ARROWS = {Role.LIST, Role.TABLE, Role.TREE_TABLE, Role.PAGE_TAB_LIST, Role.MENU, Role.COMBO_BOX}
MOST = 90
GAME = "Week 2 at Quillbrook"  # of the demo, the one at hand
# While measuring, Tab leads from the film to what was measured; the angle has its key, A.
BY_KEY = {"measuring": ("Wide", "Tight")}
ROWED = {Role.LIST, Role.TREE_TABLE}
ROWS_SEEN = 3
# The frame's own, for the mouse; a desktop has keys for them.
FRAME = ("Minimize", "Maximize", "Close")


def is_stop(node):
    return node.role in PRESSED and node.has(State.FOCUSABLE) and node.has(State.SENSITIVE) and \
        node.name not in FRAME


def above(node):
    """It and what it is in."""
    while node is not None:
        yield node
        node = node.parent if node.parent is not node else None


class Walk:
    """Once round by Tab, from where the keyboard is."""

    def __init__(self, window, where, title):
        self.window, self.where = window, where
        path = wait_for("the keyboard in " + where, lambda: window.focused(title)).path
        # On the way rows may become chosen, and with them buttons of use.
        seen = list(window.root().all())
        self.stops = {node.path for node in seen if is_stop(node)}
        self.lists = {node.path: next((n.path for n in above(node) if n.role in ROWED), None)
                      for node in seen}
        order, ended, run = [], set(), 0
        while path not in order:
            order.append(path)
            if len(order) > MOST:
                fail("%s: Tab goes through more than %d controls" % (where, MOST))
            within = self.list_of(path)
            run = run + 1 if within is not None else 0
            if run >= ROWS_SEEN and within not in ended:
                ended.add(within)
                path = self.end_of(within, path)
            path = self.press("Tab", path)
        self.first = path
        self.top = window.root(exact=True)
        there = {node.path: node for node in self.top.all()}
        gone = [path for path in order if path not in there and not self.is_rolled(path)]
        if gone:
            fail("%s: Tab went through %d controls that are not in the tree" % (where, len(gone)))
        self.order = [there[path] for path in order if path in there]  # of many rows, the first

    def list_of(self, path):
        """The list that it is a row of, or in a row of."""
        bus, owner = self.window.bus, self.window.owner
        if path in self.lists:
            return self.lists[path]
        for _ in range(6):
            path = bus.value(owner, path, "Parent")[1]
            if "null" in path or path == self.window.root_path:
                return None
            if bus.call(owner, path, ACCESSIBLE, "GetRole") in ROWED:
                return path
        return None

    def is_rolled(self, path):
        """A row that is not among the first, or that the list has given up since."""
        try:
            return self.list_of(path) is not None
        except GLib.Error:
            return True

    def end_of(self, within, path):
        """Rows are alike: on to the last one, by the key for it."""
        key("End")
        end = time.monotonic() + 1
        while time.monotonic() < end and self.window.told_focus() == path:
            time.sleep(0.02)
        now = self.window.told_focus() or path
        return now if self.list_of(now) == within else path

    def press(self, name, was):
        """The path of what has the keyboard after a key."""
        key(name)
        return wait_for(
            lambda: "%s: %s leads on from “%s”: a trap" % (
                self.where, name, self.window.bus.value(self.window.owner, was, "Name")),
            lambda: next((now for now in [self.window.told_focus()] if now not in (was, None)), None),
            12)

    def expect_back(self):
        """shift+Tab leads back from where Tab came round to, to what was last. Into a list Tab leads
        to the row that is chosen: the one before it is as good."""
        back = self.press("shift+Tab", self.first)
        within = self.list_of(self.first)
        if within is not None and self.list_of(back) == within:
            pass
        elif self.first == self.order[0].path and back != self.order[-1].path:
            fail("%s: shift+Tab leads from “%s” to “%s”, not back to “%s”" % (
                self.where, self.order[0].name,
                self.window.bus.value(self.window.owner, back, "Name"), self.order[-1].name))
        self.press("Tab", back)

    def is_seen(self, node):
        """Whether it is what lies under its middle, and not on a page behind another."""
        x, y, wide, high = self.window.extents(node)
        frame = list(above(node))[-2]
        _, path = self.window.bus.call(
            self.window.owner, frame.path, "org.a11y.atspi.Component", "GetAccessibleAtPoint",
            GLib.Variant("(iiu)", (x + wide // 2, y + high // 2, 1)))
        return wide > 0 and path in [n.path for n in node.all()]

    def expect_all(self, part):
        """Everything that can be pressed, filled in or chosen was reached; by the arrows where it is
        in something that they go through."""
        top = self.top if part is None else self.top.find(name=part)
        reached = {path for node in self.order for path in [n.path for n in above(node)]}
        ways = {node.path for node in self.order}
        left = []
        for node in top.fixed():
            if node.path not in self.stops or not is_stop(node) or node.path in reached:
                continue
            if any(n.path in ways or (n.role in BY_ARROWS and n.path in reached)
                   for n in above(node)):
                continue
            if node.name not in BY_KEY.get(self.where, ()) and self.is_seen(node):
                left.append("%s (%d)" % (node.name, node.role))
        if left:
            fail("%s: Tab does not reach: %s" % (self.where, "; ".join(left)))

    def expect_names(self, part):
        top = self.top if part is None else self.top.find(name=part)
        left = ["%d of %s" % (node.role, node.parent.name) for node in top.all()
                if node.role in CONTROLS and node.has(State.FOCUSABLE) and not node.is_named()]
        if left:
            fail("%s: controls without a name (role and parent): %s" % (self.where, ", ".join(left)))

    def expect_one_focus(self, title):
        top = self.top if title is None else self.top.find(name=title)
        has = [node.path for node in top.all()
               if node.has(State.FOCUSED) and node.role != Role.FRAME]
        if has != [self.first]:
            fail("%s: the keyboard is said to be at %d controls" % (self.where, len(has)))

    def expect_order(self):
        """No step leads up within a column, but the one by which it comes round."""
        order = [node for node in self.order  # rows roll
                 if not any(n.role in ROWED for n in above(node))]
        spans = [self.window.extents(node) for node in order]
        wrong = []
        for at in range(1, len(spans)):
            (ax, ay, aw, _), (bx, by, bw, bh) = spans[at - 1], spans[at]
            if by + bh <= ay and bx < ax + aw and ax < bx + bw:
                wrong.append("“%s” to “%s”" % (order[at - 1].name, order[at].name))
        if len(wrong) > 1:
            fail("%s: Tab leads up from %s" % (self.where, "; ".join(wrong)))


def look_at(window, where, title=None, part=None):
    """title: of a window beside the main one. part: what of it is to be seen."""
    out_of_the_way()
    part = part or title
    walk = Walk(window, where, title)
    walk.expect_names(part)
    walk.expect_one_focus(title)
    walk.expect_order()
    walk.expect_back()
    walk.expect_all(part)
    step("%s: %d controls by Tab" % (where, len(walk.order)))


class Ear:
    """What the bus tells of names that change: pairs of path and new name, as a reader hears them."""

    def __init__(self, window):
        self.window, self.heard = window, []
        self.number = window.bus.wire.signal_subscribe(
            window.owner, "org.a11y.atspi.Event.Object", "PropertyChange", None, None,
            Gio.DBusSignalFlags.NONE, self.take)

    def take(self, _wire, _sender, path, _interface, _signal, words):
        kind, _, _, value = words.unpack()[:4]
        self.heard.append((path, kind, value))

    def hears(self, path, kind, value):
        while GLib.MainContext.default().iteration(False):
            pass
        return (path, kind, value) in self.heard

    def last(self, path, starts=""):
        """The name that was told last, of one widget or of any; None if none was."""
        while GLib.MainContext.default().iteration(False):
            pass
        return next((value for where, kind, value in reversed(self.heard)
                     if kind == "accessible-name" and path in (None, where) and
                     value.startswith(starts)), None)


def verdict_of(window):
    """What says the verdict: the one status of the Chart desk."""
    found = [n for n in window.find(name="RbChartDesk").all() if n.role == Role.STATUS_BAR]
    if len(found) != 1:
        fail("the Chart desk has %d widgets that speak of themselves" % len(found))
    return found[0].path


def judged(library, snap):
    """The verdict of a snap of the game at hand, by the program without a window."""
    return cli("verdict", "explain", library, str(snap), "--game", GAME, "--json").get("verdict")


def check_announced(window, library):
    """The look of the first read is changed by its key until it is as it was: each verdict that comes
    of it is heard from a widget whose role says that it is to be spoken, while the keyboard stays where
    it is; a look that leaves the verdict as it was is told without it."""
    verdict, ladder = verdict_of(window), window.find(name="Ladder of reads").path
    read = "Read 1, %s, " % window.described("Ladder of reads").split(", ")[1]
    held, ear, was, told = window.focused().path, Ear(window), judged(library, 5), []
    for look in ("can't tell", "not seen yet", "open", "covered"):
        key("1")
        wait_for("“%s” told" % look, lambda look=look: ear.hears(
            ladder, "accessible-description", read + look))
        wait_for("the change in words", lambda: ear.last(None, "Read 1 of snap 5 "))
        now = judged(library, 5)
        if now != was:
            told.append(now)
            wait_for("the verdict “%s” told" % now, lambda now=now: now == (
                ear.last(verdict) or "").lower().replace(" ", "-"))
        elif ear.last(verdict) is not None:
            fail("“%s” is told, but the verdict is “%s” still" % (ear.last(verdict), now))
        was = now
        del ear.heard[:]
    if len(told) < 3:
        fail("the verdict changed to %s" % told)
    if window.focused().path != held:
        fail("a verdict took the keyboard away")
    step("verdicts told as they change: %s" % ", ".join(told))


def check_states(window):
    """Pressed, checked and opened are said, and said again when they are no longer so."""
    desks = [n for n in window.find(name="Desks").all() if n.role == Role.PUSH_BUTTON]
    pressed = [n.name for n in desks if n.has(State.PRESSED)]
    if pressed != ["Chart"]:
        fail("of the desks are pressed: %s" % pressed)
    key("r")
    window.tab_to("Picture only")
    box = window.focused()
    if box.role != Role.CHECK_BOX:
        fail("“%s” has the role %d" % (box.name, box.role))
    # Checked by key it gives the keyboard back to the rail, the control before it.
    expect_state(window, box, State.CHECKED, ["space"], ["Tab", "space"])
    menu = window.find(Role.PUSH_BUTTON, "Menu")
    expect_state(window, menu, State.EXPANDED, ["F10"], ["Escape"])
    step("pressed, checked, opened")
    check_submenus(window)


def check_submenu(window, opens, letter, title, button):
    """Out of a submenu the keyboard comes back to where it was or to the menu's button, as the desktop
    has it, and keys do what they did."""
    was = wait_for("the keyboard", window.focus_name)
    key(opens)
    wait_for("the menu", lambda: window.focused().role == Role.MENU_ITEM)
    key(*letter)
    wait_for("the submenu " + title, lambda: window.focus_name() == title)
    key("Escape")
    wait_for("the keyboard back", lambda: window.focus_name() in (was, button))
    key("ctrl+2")
    wait_for("another desk by its key", lambda: window.has_desk("Playbook"))


def check_submenus(window):
    check_submenu(window, "F10", ["p"], "Print", "Menu")
    key("ctrl+3")
    wait_for("the table", lambda: window.has_desk("Pairings") and window.find(Role.TABLE))
    window.tab_to("Add a filter", by="shift+Tab")
    check_submenu(window, "space", ["Return"], "Saved filters", "Add a filter")
    key("ctrl+1")
    wait_for("the first desk", lambda: window.has_desk("Chart"))
    step("keys after a submenu")


def expect_state(window, node, state, on, off):
    """The state of a control after keys that set it, and after those that take it away."""
    def has():
        states = window.bus.call(window.owner, node.path, ACCESSIBLE, "GetState")
        return bool(states[0] >> int(state) & 1)
    if has():
        fail("“%s” says so before the key" % node.name)
    key(*on)
    wait_for("“%s” to say so after %s" % (node.name, on), has)
    key(*off)
    wait_for("“%s” to say no more so after %s" % (node.name, off), lambda: not has())


def look_everywhere(window, folder):
    """The desks and the help; in the long run each page of them and each window."""
    places = Places(window, folder, lambda text: text)
    for where in places.desks() if LONG else map(places.desk, range(1, 6)):
        look_at(window, where)
    if LONG:
        for title in places.windows():
            look_at(window, title, title)
        return
    places.go(1, "Chart")
    with places.beside("Help", "F1") as title:
        look_at(window, title, title)


def main():
    with demo(film_snaps=1) as folder:
        library = prepare(folder)
        with opened(library, plain=True) as window:
            wait_for("the doors", lambda: window.focus_name())
            look_at(window, "the doors", part="RbStartPage")
            window.close()
        with opened(library) as window:
            wait_for("the snap", lambda: window.contains("Snap 5"))
            key("r")
            check_announced(window, library)
            check_states(window)
            look_everywhere(window, folder)
            window.close()


main()
