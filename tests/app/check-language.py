# SPDX-License-Identifier: GPL-3.0-or-later
"""The window in a language whose texts are all 40 % longer, on the screen of a small laptop: nothing is
without a translation, and every control is within the window. Then from right to left."""
import ast
import os
import re
import shutil
import subprocess
import tempfile

from window import DESKS, PRESSED, Role, cli, demo, fail, key, opened, program, step, wait_for

WIDE, HIGH = 1366, 768
SOURCE = os.path.join(os.path.dirname(os.path.abspath(__file__)), "..", "..")
# Around each text, to tell what was translated from what was not.
FIRST, LAST = "⟦", "⟧"
LONGER = "áéíóú ñüêô àèìòù "


def longer(text):
    """40 % more letters at its end, within the marks; a line break at the ends stays there."""
    body = text.strip("\n")
    more = LONGER * (len(body) // len(LONGER) + 1)
    return text.replace(body, FIRST + body + " " + more[:max(2, len(body) * 2 // 5)].strip() + LAST, 1)


def template(folder):
    path = os.path.join(folder, "all.pot")
    words = ["_", "N_", "C_:1c,2", "NC_:1c,2", "ngettext:1,2", "g_dngettext:2,3"]
    with open(os.path.join(SOURCE, "po", "meson.build"), encoding="utf-8") as build:
        words += ["%s:%s" % pair for pair in re.findall(r"'(\w+)': '(\d)'", build.read())]
    subprocess.run(["xgettext", "--from-code=UTF-8", "-o", path, "--files-from=po/POTFILES", "-F",
                    *("--keyword=" + word for word in words)], cwd=SOURCE, check=True,
                   stderr=subprocess.DEVNULL)
    return path


def entries(path):
    """Of a template: context, text and plural, each None where there is none."""
    field, found = None, []
    with open(path, encoding="utf-8") as lines:
        for line in lines:
            start = re.match(r'(msgctxt|msgid|msgid_plural|msgstr)(?:\[\d\])? (".*")', line)
            if start:
                field = start[1]
                if field == "msgctxt" or (field == "msgid" and (not found or "msgid" in found[-1])):
                    found.append({})
                found[-1][field] = found[-1].get(field, "") + ast.literal_eval(start[2])
            elif line.startswith('"') and found:
                found[-1][field] += ast.literal_eval(line)
    return [entry for entry in found if entry.get("msgid")]


def quoted(text):
    escaped = text.replace("\\", "\\\\").replace('"', '\\"').replace("\n", "\\n").replace("\t", "\\t")
    return '"%s"' % escaped


def translate(folder, language):
    lines = ['msgid ""', 'msgstr "Content-Type: text/plain; charset=UTF-8\\n'
             'Plural-Forms: nplurals=2; plural=(n != 1);\\n"']
    for entry in entries(template(folder)):
        lines += ["", *("%s %s" % (name, quoted(entry[name])) for name in
                        ("msgctxt", "msgid", "msgid_plural") if name in entry)]
        if "msgid_plural" in entry:
            lines += ["msgstr[0] " + quoted(longer(entry["msgid"])),
                      "msgstr[1] " + quoted(longer(entry["msgid_plural"]))]
        else:
            lines.append("msgstr " + quoted(longer(entry["msgid"])))
    source = os.path.join(folder, language + ".po")
    with open(source, "w", encoding="utf-8") as out:
        out.write("\n".join(lines) + "\n")
    target = os.path.join(folder, "share", "locale", language, "LC_MESSAGES")
    os.makedirs(target)
    subprocess.run(["msgfmt", "-o", os.path.join(target, "readbreak.mo"), source], check=True)


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
