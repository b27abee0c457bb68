# SPDX-License-Identifier: GPL-3.0-or-later
"""A cushion measured in the real window: four marks of the field, two places, one key that keeps
it; clicks and keys are counted. The truth is the demo's own camera."""
import json
import math
import os
import re
import subprocess

from window import Role, cli, demo, fail, key, mouse, opened, step, wait_for

MOST_ACTIONS = 12
# College field, yards (NCAA rules 1-2-1 and appendix D): width, and how far in the marks lie.
WIDTH = 160 / 3
INSET = {"hash": 20.0, "sideline": 0.0, "top of the numbers": 9.0, "bottom of the numbers": 7.0}
CORNERS = {"left": 18, "right": 19}
LAYER = "Measuring over the film"


def looks(name):
    """For a person: what stands on the display now."""
    folder = os.environ.get("RB_TEST_LOOKS")
    if folder:
        subprocess.run(["import", "-window", "root", os.path.join(folder, name + ".png")],
                       check=True)


class Camera:
    def __init__(self, matrix, layer):
        x, y, width, height = layer
        self.matrix = matrix
        self.scale = min(width / 960, height / 540)
        self.left = x + (width - 960 * self.scale) / 2
        self.top = y + (height - 540 * self.scale) / 2

    def pixel(self, x, y):
        a, b, c = (row[0] * x + row[1] * y + row[3] for row in self.matrix)
        return a / c, b / c

    def display(self, x, y):
        u, v = self.pixel(x, y)
        return round(self.left + u * self.scale), round(self.top + v * self.scale)

    def shows(self, x, y):
        u, v = self.pixel(x, y)
        return 4 < u < 956 and 4 < v < 536


class Hand:
    """Clicks and presses, counted."""

    def __init__(self):
        self.actions = 0

    def press(self, name):
        self.actions += 1
        key(name)

    def click(self, place):
        self.actions += 1
        mouse("mousemove", *place, "click", 1)


def asked_for(words):
    """The place on the field that is to be clicked."""
    found = re.search(r"click the (near|far) (.+) at the (?:(left|right) )?(\d+|goal line)\.",
                      words)
    if found is None:
        return None
    half, kind, end, line = found.groups()
    yards = 0 if line == "goal line" else int(line)
    x = 100 - yards if end == "right" else yards
    return x, INSET[kind] if half == "near" else WIDTH - INSET[kind]


def said(window):
    window.paths.pop(LAYER, None)
    return window.described(LAYER)


def extents(window):
    return window.extents(wait_for("the layer", lambda: window.find(name=LAYER)))


def mark_field(window, hand, camera):
    for number in range(1, 5):
        words = wait_for("mark %d" % number, lambda n=number: next(
            (w for w in [said(window)] if ("Mark %d:" % n) in w), None))
        place = asked_for(words)
        if not camera.shows(*place):
            hand.press("x")
            words = wait_for("another end", lambda w=words: next(
                (now for now in [said(window)] if now != w), None))
            place = asked_for(words)
        hand.click(camera.display(*place))
    wait_for(lambda: "the view; it says: " + said(window),
             lambda: "The view stands" in said(window))
    looks("measure-view")
    step("a view of the field by four marks")


def nearest_receiver(players, corner):
    return min(players[6:11], key=lambda p: abs(p[1] - corner[1]) + 0.2 * abs(p[0] - corner[0]))


def stored_tag(library, snap, tag):
    return next(row for row in cli("snaps", library, "--json")["snaps"]
                if row["snap"] == snap)["tags"].get(tag)


def measure_cushion(window, hand, camera, players):
    corner = players[CORNERS["left"]]
    receiver = nearest_receiver(players, corner)
    hand.press("1")
    wait_for("the receiver asked for", lambda: "receiver's feet" in said(window))
    hand.click(camera.display(*receiver))
    wait_for("the corner asked for", lambda: "corner's feet" in said(window))
    hand.click(camera.display(*corner))
    wait_for("the cushion", lambda: "Enter keeps it" in said(window))
    looks("measure-cushion")
    hand.press("Return")
    return abs(corner[0] - receiver[0])


def check_carried(window, wide):
    """At the next mark the field's lines lie where the camera has turned to."""
    top = next(one for one in wide["moments"] if one["mark"] == "top")
    key("bracketright")
    wait_for("the top of the drop", lambda: window.frame() == top["frame"])
    wait_for(lambda: "the carried view; it says: " + said(window),
             lambda: "The view was carried here" in said(window))
    looks("measure-carried")
    camera = Camera(top["matrix"], extents(window))
    key("0")
    wait_for("the first place", lambda: "first place" in said(window))
    a, b = top["players"][18], top["players"][0]
    for place in (a, b):
        mouse("mousemove", *camera.display(*place), "click", 1)
    words = wait_for("the length", lambda: next(
        (w for w in [said(window)] if "Enter keeps it" in w), None))
    value, pm = map(float, re.search(r"Length: ([0-9.]+) ± ([0-9.]+)", words).groups())
    truth = math.dist(a, b)
    if abs(value - truth) > 3 * pm + 0.1:
        fail("on a carried view %.2f yd were measured, in truth %.2f" % (value, truth))
    print("on a carried view: %.1f ± %.1f yd, in truth %.2f" % (value, pm, truth))
    step("a length on a frame without marks")


def kept(library):
    return cli("measure", "list", library, "--json")["measures"]


def row_named(window, *parts):
    """The row of the list that says all of it."""
    return next((node for node in window.root().all() if node.role == Role.LIST_ITEM and
                 all(part in node.name for part in parts)), None)


def check_landmark(window, library, camera, place):
    """A distance to the nearest landmark by key and mouse, and kept."""
    key("d")
    wait_for("a man asked for", lambda: "the man's feet" in said(window))
    mouse("mousemove", *camera.display(*place), "click", 1)
    words = wait_for("the distance", lambda: next(
        (w for w in [said(window)] if "Enter keeps it" in w), None))
    looks("measure-landmark")
    if not words.startswith("To the "):
        fail("the distance to a landmark says: " + words)
    key("o")
    wait_for("another landmark", lambda w=words: said(window) != w)
    key("o")
    wait_for("the first landmark again", lambda w=words: said(window) == w)
    key("Return")
    found = wait_for("two measures", lambda: next(
        (all_of for all_of in [kept(library)] if len(all_of) == 2), None))
    if not any(one["kind"] == "landmark" and one["to"] for one in found):
        fail("no landmark among " + json.dumps(found))
    step("a distance to a landmark")


def check_list(window, library, moment):
    """The list: gone to by a key, taken off by a key, back by undo."""
    key("Tab")
    wait_for("a row with the keyboard",
             lambda: window.focus_name().startswith("Left cushion: "))
    row = row_named(window, "Left cushion: ", " yd; wide, frame %d." % moment["frame"],
                    "The picture has it")
    if row is None:
        fail("no row of the cushion that feeds the picture")
    key("Return")
    wait_for("the frame of the cushion", lambda: window.frame() == moment["frame"])
    wait_for("measuring there", lambda: "The view stands" in said(window))
    key("Tab")
    wait_for("the row again", lambda: window.focus_name().startswith("Left cushion: "))
    key("Delete")
    wait_for("one measure less", lambda: len(kept(library)) == 1)
    wait_for("the row after it", lambda: window.focus_name().startswith("To the "))
    key("ctrl+z")
    wait_for("the row back", lambda: window.focus_name().startswith("Left cushion: ") and
             window.focus_name().endswith("The picture has it."))
    step("the list: gone to, taken off, undone")


def check_lengths(window):
    """Another unit by keys, in the list at once; and a measure begun by mouse."""
    key("Tab")
    wait_for("the row after it", lambda: window.focus_name().startswith("To the "))
    was = window.told_focus()
    key("Tab")
    wait_for("the unit", lambda: window.told_focus() not in (None, was))
    key("Down")
    wait_for("feet in the list", lambda: row_named(window, "Left cushion", " ft;"))
    looks("measure-feet")
    button = wait_for("a button", lambda: window.find(role=Role.PUSH_BUTTON, name="Throw"))
    mouse("mousemove", *window.middle(button), "click", 1)
    wait_for("a throw is begun", lambda: "ground under the release" in said(window))
    step("lengths in feet, a measure by mouse")


def check_split(window, library, snap, camera, players):
    """The split of the outside receiver feeds the picture too, and goes with one undo."""
    receiver, ball = nearest_receiver(players, players[CORNERS["left"]]), players[0]
    truth = abs(receiver[1] - ball[1])
    key("3")
    wait_for("the ball asked for", lambda: "the ball" in said(window))
    mouse("mousemove", *camera.display(*ball), "click", 1)
    wait_for("the receiver asked for", lambda: "receiver's feet" in said(window))
    mouse("mousemove", *camera.display(*receiver), "click", 1)
    wait_for("the split", lambda: "Enter keeps it" in said(window))
    looks("measure-split")
    key("Return")
    row = wait_for("the split in the list",
                   lambda: row_named(window, "Left split: ", " yd; wide, frame ",
                                     "The picture has it"))
    value, pm = map(float, re.search(r"([0-9.]+) ± ([0-9.]+) yd", row.name).groups())
    tags = stored_tag(library, snap, "left-split"), stored_tag(library, snap, "left-split-error")
    if tuple(map(float, tags)) != (value, pm):
        fail("the split is tagged %s ± %s, the list says %s" % (*tags, row.name))
    if abs(value - truth) > 2 * pm:
        fail("a split of %.2f ± %.2f yd, in truth %.2f" % (value, pm, truth))
    print("split %.1f ± %.1f yd, in truth %.2f" % (value, pm, truth))
    if not any(one["kind"] == "split" and one["side"] == "left" for one in kept(library)):
        fail("no split among " + json.dumps(kept(library)))
    key("ctrl+z")
    wait_for("the split gone", lambda: not any(one["kind"] == "split" for one in kept(library)))
    wait_for("its row gone", lambda: not row_named(window, "Left split: ", ", frame "))
    if stored_tag(library, snap, "left-split"):
        fail("the tag of a split that was undone is still there")
    step("a split measured, tagged, undone")


def check_other_angle(window, moment, tight):
    """From the tight film, the list leads to the frame of the wide one where a measure was made."""
    key("a")
    wait_for("the end of measuring on the wide film", lambda: "The view stands" not in said(window))
    wait_for("the tight film", lambda: window.frame() == tight["frame"])
    key("m")
    wait_for(lambda: "no view there; it says: " + said(window), lambda: "Mark 1" in said(window))
    looks("measure-tight")
    key("Tab")
    wait_for("the list", lambda: window.focus_name().startswith("Left cushion: "))
    key("Return")
    wait_for(lambda: "the wide film; it says: " + said(window),
             lambda: window.frame() == moment["frame"])
    wait_for("its view", lambda: "The view stands" in said(window))
    step("to a measure of the other angle")


def check_after_restart(library, snap, moment, camera, players, tight):
    """A kept view is there at once in a new window: no mark is clicked again."""
    with opened(library) as window:
        wait_for("the snap's frame", lambda: window.frame() == moment["frame"])
        key("m")
        wait_for(lambda: "the kept view; it says: " + said(window),
                 lambda: "The view stands" in said(window))
        camera = Camera(moment["matrix"], extents(window))
        key("0")
        wait_for("the first place", lambda: "first place" in said(window))
        a, b = players[18], players[0]
        for place in (a, b):
            mouse("mousemove", *camera.display(*place), "click", 1)
        words = wait_for("the length", lambda: next(
            (w for w in [said(window)] if "Enter keeps it" in w), None))
        looks("measure-again")
        value, pm = map(float, re.search(r"Length: ([0-9.]+) ± ([0-9.]+)", words).groups())
        if abs(value - math.dist(a, b)) > 3 * pm + 0.1:
            fail("on a kept view %.2f yd, in truth %.2f" % (value, math.dist(a, b)))
        step("a kept view after a restart")
        check_split(window, library, snap, camera, players)
        check_other_angle(window, moment, tight)


def main():
    with demo(film_snaps=1) as folder:
        library = os.path.join(folder, "season.readbreak")
        with open(os.path.join(folder, "truth.json"), encoding="utf-8") as file:
            truth = json.load(file)
        snap = next(one for one in truth["snaps"] if "film" in one)
        wide = next(film for film in snap["film"] if film["angle"] == "wide")
        moment = next(one for one in wide["moments"] if one["mark"] == "snap")
        if truth["field"]["rules"] != "college":
            fail("the demo's field is another one: " + truth["field"]["rules"])
        with opened(library) as window:
            wait_for("the snap's frame", lambda: window.frame() == moment["frame"])
            hand = Hand()
            hand.press("m")
            wait_for("what to click", lambda: "Mark 1" in said(window))
            camera = Camera(moment["matrix"], extents(window))
            mark_field(window, hand, camera)
            cushion = measure_cushion(window, hand, camera, moment["players"])
            measures = wait_for("the measure kept", lambda: cli(
                "measure", "list", library, "--json")["measures"])
            if hand.actions > MOST_ACTIONS:
                fail("a cushion took %d clicks and keys" % hand.actions)
            value, pm = measures[0]["value"], measures[0]["plus_minus"]
            if abs(value - cushion) > 0.5:
                fail("measured %.2f ± %.2f yd, in truth %.2f" % (value, pm, cushion))
            print("cushion %.2f ± %.2f yd, in truth %.2f, by %d clicks and keys" %
                  (value, pm, cushion, hand.actions))
            wait_for("the history's words", lambda: any(
                "Left cushion of snap" in node.name for node in window.root().all()))
            tag = stored_tag(library, snap["snap"], "left-cushion")
            if abs(float(tag) - value) > 0.051:
                fail("the tag says %s, the measure %.2f" % (tag, value))
            step("a cushion measured, kept and tagged")
            check_carried(window, wide)
            top = next(one for one in wide["moments"] if one["mark"] == "top")
            check_landmark(window, library, Camera(top["matrix"], extents(window)),
                           top["players"][18])
            check_list(window, library, moment)
            check_lengths(window)
            key("Escape")
            wait_for("no more measuring", lambda: not said(window) or key("Escape"))
        tight = next(one for film in snap["film"] if film["angle"] == "tight"
                     for one in film["moments"] if one["mark"] == "snap")
        check_after_restart(library, snap["snap"], moment, camera, moment["players"], tight)
        with opened(library) as window:
            wait_for("the snap's frame", lambda: window.frame() == moment["frame"])
            for _ in range(2):
                key("ctrl+z")
            wait_for("all taken back", lambda: not kept(library))
            if stored_tag(library, snap["snap"], "left-cushion") == tag:
                fail("the tag of a cushion that was undone is still there")
            step("undone with its tags")


main()
