# SPDX-License-Identifier: GPL-3.0-or-later
"""Nothing of ours moves by itself: no style sheet has a transition or animation, no page of a stack
slides, nothing spins, pulses or blinks. What the toolkit moves obeys the desktop's setting, which the
tests of the window hold; film moves when it is played."""
import glob
import os
import re
import sys

ROOT = sys.argv[1]
# Of style sheets, of descriptions of widgets, of code.
MOVES = {
    "ui/*.css": r"^\s*(?:animation|transition)[a-z-]*\s*:(?!\s*none\s*;)|@keyframes|-gtk-icon-transform.*rotate",
    "ui/*.ui": r"transition-type|transition-duration|GtkRevealer|GtkSpinner|cursor-blink",
    "src/app/*.c": r"set_transition_(?:type|duration)\((?!.*_NONE)|gtk_revealer_|gtk_spinner_|"
                   r"gtk_progress_bar_pulse|transition-(?:type|duration)",
}


def main():
    found, looked_at = [], 0
    for where, moves in MOVES.items():
        paths = sorted(glob.glob(os.path.join(ROOT, where)))
        looked_at += len(paths)
        for path in paths:
            with open(path, encoding="utf-8") as lines:
                found += ["%s:%d: %s" % (os.path.relpath(path, ROOT), number, line.strip())
                          for number, line in enumerate(lines, 1) if re.search(moves, line)]
    for pattern, line in ((MOVES["ui/*.css"], "  transition: opacity 200ms;"),
                          (MOVES["ui/*.ui"], '<object class="GtkRevealer">'),
                          (MOVES["src/app/*.c"], "gtk_progress_bar_pulse(bar);")):
        if not re.search(pattern, line):
            sys.exit("what moves is not seen: " + line)
    if found or looked_at < 100:
        sys.exit("moves by itself (%d files):\n%s" % (looked_at, "\n".join(found)))


main()
