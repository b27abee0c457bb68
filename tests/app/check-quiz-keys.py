# SPDX-License-Identifier: GPL-3.0-or-later
"""Answers the quiz for five snaps in the real window with nothing but keys.

Every answer kept is compared with the tags in the library, read beside the program.

Usage: RB_APP=READBREAK RB_CLI=READBREAK-CLI check-quiz-keys.py
"""
import os
import tempfile

from screen import Atspi, Screen, fail, key, make_season, nodes, wait_for

PROGRAM, CLI = os.environ["RB_APP"], os.environ["RB_CLI"]
ASKED = 5
SNAP_FRAME, LAST_FRAME = 15, 140  # the film runs at its own speed: it is short
SHELL = "Two high"
QUESTIONS = ("Which shell", "Which side", "Which read", "Whom do you")


def dropbacks(connection):
    return [row[0] for row in connection.execute(
        "SELECT snap.id FROM snap JOIN chart ON chart.snap = snap.id"
        " WHERE snap.removed = 0 AND chart.removed = 0 AND chart.ball = 'read'"
        " AND chart.shell IS NOT NULL ORDER BY snap.number LIMIT 12")]


class Quiz:
    """What the quiz shows, in one walk over it: a walk over the whole window is slow."""

    def __init__(self, screen):
        self.root = wait_for("the quiz", lambda: screen.find("Quiz", Atspi.Role.GROUPING) or
                             screen.find("Quiz", Atspi.Role.PANEL))
        self.look()

    def look(self):
        self.words, self.answers, self.frame = [], [], None
        for node in nodes(self.root):
            name, role = node.get_name() or "", node.get_role()
            if role == Atspi.Role.LIST_ITEM:
                self.answers.append(name)
            elif role == Atspi.Role.IMAGE and name == "Film":
                words = node.get_description() or ""
                self.frame = int(words.split()[1]) if words.startswith("frame ") else None
            else:
                self.words.append(name)
        return self

    def says(self, *starts):
        return next((words for words in self.words if words.startswith(starts)), None)

    def asks(self):
        """The question that stands there with its answers; None while the film runs."""
        return self.says(*QUESTIONS) if self.answers else None


def answer_one(quiz, number):
    """Answers one snap: the shell by its digit, the rest by Enter. Stops of the film seen."""
    stops = []
    wait_for("snap %d" % number, lambda: quiz.look().says("Snap %d of " % number))
    while True:
        if quiz.says("Watch"):
            key("space")
        wait_for("a question", lambda: quiz.look().asks() or quiz.says("Next snap"))
        question = quiz.asks()
        if question is None:
            return stops
        stops.append(quiz.frame)
        if question.startswith("Which shell"):
            wait_for("the film before the snap",
                     lambda: quiz.look().frame == SNAP_FRAME - 1)
            key(str(quiz.answers.index(SHELL) + 1))
        else:
            key("Return")
        before = quiz.words, quiz.answers
        wait_for("the next step", lambda: (quiz.look().words, quiz.answers) != before)


def check_kept(screen):
    rows = screen.rows(
        "SELECT q.shell, q.shell_right, q.read, q.read_right, q.thinking_ms, c.shell"
        " FROM quiz_answer q JOIN chart c ON c.snap = q.snap AND c.removed = 0"
        " WHERE q.removed = 0")
    if len(rows) != ASKED:
        fail("%d answers are kept" % len(rows))
    for shell, shell_right, _read, read_right, thinking_ms, shown in rows:
        if shell != "two-high" or shell_right != ("yes" if shown == shell else "no"):
            fail("shell %s against %s counts as %s" % (shell, shown, shell_right))
        if read_right not in ("yes", "no") or not thinking_ms > 0:
            fail("read right: %s, thinking %s ms" % (read_right, thinking_ms))
    report = screen.cli("quiz", "report", screen.library, "--json")["lines"]
    right = sum(row[3] == "yes" for row in rows)
    if report[-1]["asked"] != ASKED or report[-1]["reads_right"] != right:
        fail("the report says %s, kept are %d right" % (report[-1], right))
    return right


def check(screen):
    key("ctrl+4")
    wait_for("his figures", lambda: " of " in screen.focus_name())
    key("q")
    wait_for("the quiz", lambda: screen.focus_name() == "Start (Enter)")
    if screen.find(starts="A snap comes back") is None:
        fail("the schedule is not named")
    key("Return")
    quiz = Quiz(screen)
    for number in range(1, ASKED + 1):
        stops = answer_one(quiz, number)
        if len(stops) < 2 or stops != sorted(stops) or stops[-1] <= SNAP_FRAME:
            fail("the film stood at frames %s" % stops)
        if number == 1:
            wait_for("the film to its end", lambda: quiz.look().frame == LAST_FRAME)
        key("Return")
    key("Escape")
    wait_for("the figures again", lambda: screen.find(starts="Quiz (Q)"))
    right = wait_for("five answers", lambda: len(screen.rows(
        "SELECT id FROM quiz_answer")) == ASKED) and check_kept(screen)
    key("q")
    wait_for("the report", lambda: any("%d of %d reads right" % (right, ASKED) in item
                                       for item in screen.items("Reads named right, by "
                                                                "coverage")))


def main():
    with tempfile.TemporaryDirectory(prefix="rb-quiz-") as folder:
        library = make_season(CLI, folder, dropbacks, SNAP_FRAME, LAST_FRAME)
        screen = Screen(PROGRAM, CLI, library, folder)
        try:
            check(screen)
            screen.close()
        finally:
            screen.kill()
    print("Five snaps answered by keyboard: kept, scored and reported.")


main()
