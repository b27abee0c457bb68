# SPDX-License-Identifier: GPL-3.0-or-later
"""A new concept with two reads, one conversion and one adjustment is entered on the Playbook desk
with nothing but keys, and found by the command line: order, rules and all. Then the mouse: a route
is drawn on the diagram and a read dragged to another place."""
import json
import os
import subprocess
import sys
import tempfile
import time

APP = os.environ["RB_APP"]
CLI = os.environ["RB_CLI"]
LIMIT_S = 20
LAST = []  # what the command line said last
PAUSE_S = 0.35  # for a popover or a row to be there before the next key


def run(*words):
    return subprocess.run(words, capture_output=True, text=True, timeout=60)


def fail(sentence):
    print(sentence)
    sys.exit(1)


def wait_for(what, ask):
    deadline = time.monotonic() + LIMIT_S
    while time.monotonic() < deadline:
        answer = ask()
        if answer:
            return answer
        time.sleep(0.1)
    fail("\n".join([f"Not seen within {LIMIT_S} s: {what}", *LAST]))


class Keyboard:
    def __init__(self, app):
        self.app = app
        self.window = wait_for("the window", self.find_window)
        run("xdotool", "windowfocus", "--sync", self.window)

    def find_window(self):
        if self.app.poll() is not None:
            fail(f"The program ended with {self.app.returncode}.")
        found = run("xdotool", "search", "--onlyvisible", "--name", "Readbreak").stdout.split()
        return found[0] if found else None

    def press(self, *keys):
        for key in keys:
            run("xdotool", "key", key)
            time.sleep(0.05)

    def write(self, text):
        run("xdotool", "type", "--delay", "15", text)
        time.sleep(PAUSE_S)


def concept(library, name):
    answer = run(CLI, "playbook", "show", library, name, "--json")
    LAST[:] = [answer.stdout or answer.stderr]
    return json.loads(answer.stdout) if answer.returncode == 0 else None


def enter_reads(keys, library, name):
    # A key that comes before the window is ready is lost: then it is pressed again.
    for _ in range(5):
        keys.press("Escape", "ctrl+2")
        time.sleep(PAUSE_S)
        keys.press("ctrl+n")
        time.sleep(2 * PAUSE_S)
        keys.write(name)
        keys.press("Return")
        time.sleep(2 * PAUSE_S)
        if concept(library, name):
            break
    wait_for("the new concept", lambda: concept(library, name))
    # The focus is on the route of the first read.
    keys.write("out")
    keys.press("Tab", "Tab", "Tab", "ctrl+a")
    keys.write("12")
    keys.press("Tab")
    keys.write("top of the numbers")
    keys.press("Tab")
    wait_for("read 1 as an out at 12 yards", lambda: (
        (r := concept(library, name)["reads"][0]).get("route") == "out"
        and r.get("depth_yd") == 12 and r.get("landmark") == "top of the numbers"))
    keys.press("alt+a")
    time.sleep(PAUSE_S)
    keys.write("piv")
    wait_for("read 2 as a pivot", lambda: (
        len(r := concept(library, name)["reads"]) == 2 and r[1].get("route") == "pivot"))


def enter_conversion(keys, library, name):
    keys.press("alt+u")
    time.sleep(PAUSE_S)
    keys.write("conv")
    keys.press("Tab")
    keys.write("1")
    keys.press("Tab")
    keys.write("go")
    keys.press("Tab")
    keys.write("a c")
    keys.press("Tab", "Tab", "Tab", "Tab", "Tab")  # name, then the condition's parts
    keys.write("squat")
    keys.press("Tab", "Tab", "Return")  # past its button: add a condition
    time.sleep(PAUSE_S)
    keys.write("half")
    keys.press("Tab", "Tab", "Tab")
    keys.write("yes")
    wanted = {"do": "convert", "read": 1, "route": "go", "clear_out": True,
              "if": [{"that": "technique", "is": "squat"}, {"that": "safety-over", "is": "yes"}]}
    wait_for("the conversion", lambda: concept(library, name).get("rules") == [wanted])


def enter_adjustment(keys, library, name):
    keys.press("alt+u")
    time.sleep(PAUSE_S)
    keys.write("require")
    keys.press("Tab", "Tab")
    keys.write("route")
    keys.press("Tab", "Tab", "Tab", "Tab", "Tab")
    keys.write("press")
    wait_for("the adjustment", lambda: (
        len(rules := concept(library, name)["rules"]) == 2
        and rules[1]["do"] == "require-adjustment"
        and rules[1]["adjustment"] == "route-signal"
        and rules[1]["if"] == [{"that": "technique", "is": "press"}]))


def reorder_and_undo(keys, library, name):
    """Escape leads from the rule's fields to the rules; Alt+Up moves one; Ctrl+Z takes it back."""
    def first_rule():
        return concept(library, name)["rules"][0]["do"]

    keys.press("Escape", "alt+Up")
    wait_for("the adjustment first", lambda: first_rule() == "require-adjustment")
    keys.press("ctrl+z")
    wait_for("the conversion first again", lambda: first_rule() == "convert")
    keys.press("ctrl+shift+z")
    wait_for("the adjustment first again", lambda: first_rule() == "require-adjustment")


def set_footwork(keys, library):
    """The footwork table opens with Alt+F; a time is stored and taken back there."""
    def first_ms():
        answer = run(CLI, "footwork", library, "--json")
        return json.loads(answer.stdout)["footwork"][0]["ms"]

    before = first_ms()
    keys.press("alt+f")
    time.sleep(2 * PAUSE_S)
    keys.press("ctrl+a")
    keys.write("1.15")
    keys.press("Tab")
    wait_for("the time of our own", lambda: first_ms() == 1150)
    keys.press("ctrl+z")
    wait_for("the default again", lambda: first_ms() == before)
    keys.press("Escape")


class Mouse:
    """Presses, moves in small steps and lets go, in pixels of the window."""

    def __init__(self, window):
        place = run("xdotool", "getwindowgeometry", "--shell", window).stdout
        values = dict(line.split("=") for line in place.split())
        self.left, self.top = int(values["X"]), int(values["Y"])
        self.width, self.height = int(values["WIDTH"]), int(values["HEIGHT"])

    def move(self, x, y):
        run("xdotool", "mousemove", str(self.left + x), str(self.top + y))
        time.sleep(0.03)

    def drag(self, start, end, steps=14):
        self.move(*start)
        time.sleep(0.2)
        run("xdotool", "mousedown", "1")
        time.sleep(0.2)
        for i in range(1, steps + 1):
            self.move(*(round(a + (b - a) * i / steps) for a, b in zip(start, end)))
        time.sleep(0.2)
        run("xdotool", "mouseup", "1")
        time.sleep(0.2)


def draw_by_mouse(keys, library, name):
    """A press on the diagram sets a point of the drawn route, and the same stroke moves it."""
    def points():
        return concept(library, name)["reads"][0].get("points", [])

    before = points()
    mouse = Mouse(keys.window)
    # Somewhere in the right half of the diagram: downfield is up.
    start = (mouse.width - 120, 360)
    mouse.drag(start, (start[0] - 60, 320))
    wait_for("a point drawn by mouse", lambda: len(points()) == len(before) + 1)
    drawn = points()[-1]
    if drawn["deep_tenths"] <= 0 or points()[:-1] != before:
        fail(f"The stroke drew {points()}, before it were {before}.")
    mouse.drag((start[0] - 60, 320), (start[0] - 60, 280))
    wait_for("the point moved downfield", lambda: (
        len(points()) == len(before) + 1
        and points()[-1]["deep_tenths"] > drawn["deep_tenths"]
        and points()[-1]["out_tenths"] == drawn["out_tenths"]))
    keys.press("ctrl+z")
    wait_for("the move taken back", lambda: points()[-1] == drawn)


def reorder_by_mouse(keys, library, name):
    """The second read is dragged onto the first."""
    def numbers():
        return [read["number"] for read in concept(library, name)["reads"]]

    mouse = Mouse(keys.window)
    mouse.move(247, 600)  # beside the fields, which would take the wheel for themselves
    run("xdotool", "click", "--repeat", "20", "--delay", "20", "4")
    mouse.drag((400, 320), (404, 276))
    wait_for("read 2 first", lambda: numbers() == [2, 1])


def draw_route(keys, library, name):
    """Read 1 as a route of our own, its points typed; Ctrl+Z in their field takes them back."""
    def points():
        return concept(library, name)["reads"][0].get("points", [])

    keys.press("Escape", "Escape", "F6", "Home", "Return")
    time.sleep(PAUSE_S)
    keys.write("as d")
    wait_for("a drawn route with a stem", lambda: len(points()) == 1)
    keys.press("Tab", "ctrl+a")
    keys.write("6 0; 5 -2.5; 5 8")
    keys.press("Return")
    wait_for("its points", lambda: points() == [
        {"deep_tenths": 60, "out_tenths": 0}, {"deep_tenths": 50, "out_tenths": -25},
        {"deep_tenths": 50, "out_tenths": 80}])
    keys.press("ctrl+z")
    wait_for("the stem again", lambda: len(points()) == 1)


def main():
    with tempfile.TemporaryDirectory() as folder:
        library = os.path.join(folder, "keys.readbreak")
        made = run(CLI, "new", library)
        if made.returncode != 0:
            fail(made.stderr)
        environment = dict(os.environ, XDG_DATA_HOME=folder, XDG_CONFIG_HOME=folder,
                           DBUS_SESSION_BUS_ADDRESS="disabled:")
        app = subprocess.Popen([APP, library], env=environment)
        try:
            keys = Keyboard(app)
            name = "Squeeze"
            enter_reads(keys, library, name)
            enter_conversion(keys, library, name)
            enter_adjustment(keys, library, name)
            reorder_and_undo(keys, library, name)
            set_footwork(keys, library)
            shown = run(CLI, "playbook", "show", library, name).stdout
            for words in ("Squeeze (squeeze)", "Out", "Pivot", "becomes a go",
                          "must be made"):
                if words not in shown:
                    fail(f"\"playbook show\" does not say \"{words}\":\n{shown}")
            draw_route(keys, library, name)
            draw_by_mouse(keys, library, name)
            reorder_by_mouse(keys, library, name)
        finally:
            app.terminate()
            app.wait(20)
    print("A concept was entered by keyboard alone, drawn by mouse, and found by the command line.")


main()
