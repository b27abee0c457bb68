# SPDX-License-Identifier: GPL-3.0-or-later
"""Languages that nobody speaks, made from the program's own texts, to tell what was translated from
what was not."""
import ast
import os
import re
import subprocess

SOURCE = os.path.join(os.path.dirname(os.path.abspath(__file__)), "..", "..")
# Around each text that is longer.
FIRST, LAST = "⟦", "⟧"
LONGER = "áéíóú ñüêô àèìòù "
# A letter of another alphabet for each of ours.
STRANGE = str.maketrans({chr(first + i): chr(other + i) for first, other in ((65, 0x410), (97, 0x430))
                         for i in range(26)})
# What printf fills in (ISO C, 7.21.6.1, and gettext's <PRId64>), and {names} that the program does.
FILLED_IN = re.compile(r"%(?:\d+\$)?[-+ #0]*(?:\*|\d+)?(?:\.(?:\*|\d+))?(?:<PRI\w+>|(?:hh|h|ll|l|z|j|t)?"
                       r"[diouxXeEfFgGcs%])|\{\w+\}")


def longer(text):
    """40 % more letters at its end, within marks; a line break at the ends stays there."""
    body = text.strip("\n")
    more = LONGER * (len(body) // len(LONGER) + 1)
    return text.replace(body, FIRST + body + " " + more[:max(2, len(body) * 2 // 5)].strip() + LAST, 1)


def strange(text):
    """No letter of ours is left, wherever the text is broken, cut off or put together."""
    out, at = "", 0
    for found in FILLED_IN.finditer(text):
        out += text[at:found.start()].translate(STRANGE) + found[0]
        at = found.end()
    return out + text[at:].translate(STRANGE)


def template(folder):
    path = os.path.join(folder, "all.pot")
    words = ["_", "N_", "C_:1c,2", "NC_:1c,2", "ngettext:1,2", "g_dngettext:2,3"]
    with open(os.path.join(SOURCE, "po", "meson.build"), encoding="utf-8") as build:
        own = build.read()
    for form in r"'(\w+)': '(\d)'", r"'(\w+)': \['([\dc,]+)'":
        words += ["%s:%s" % pair for pair in re.findall(form, own)]
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


def translate(folder, language, change=longer):
    """Every text of the program as `change` makes it, where a program in folder/bin looks for them."""
    lines = ['msgid ""', 'msgstr "Content-Type: text/plain; charset=UTF-8\\n'
             'Plural-Forms: nplurals=2; plural=(n != 1);\\n"']
    for entry in entries(template(folder)):
        lines += ["", "#, c-format"] if "%<PRI" in entry["msgid"] else [""] # the number's kind is the system's
        lines += [*("%s %s" % (name, quoted(entry[name])) for name in
                        ("msgctxt", "msgid", "msgid_plural") if name in entry)]
        if "msgid_plural" in entry:
            lines += ["msgstr[0] " + quoted(change(entry["msgid"])),
                      "msgstr[1] " + quoted(change(entry["msgid_plural"]))]
        else:
            lines.append("msgstr " + quoted(change(entry["msgid"])))
    source = os.path.join(folder, language + ".po")
    with open(source, "w", encoding="utf-8") as out:
        out.write("\n".join(lines) + "\n")
    target = os.path.join(folder, "share", "locale", language, "LC_MESSAGES")
    os.makedirs(target)
    subprocess.run(["msgfmt", "-o", os.path.join(target, "readbreak.mo"), source], check=True)
