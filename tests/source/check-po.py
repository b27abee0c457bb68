# SPDX-License-Identifier: GPL-3.0-or-later
"""Every catalogue named in po/LINGUAS says everything the program says today, and says it well.

usage: check-po.py SOURCE

The template is made anew from po/POTFILES with the words that Meson's preset `glib` marks and
those of po/meson.build, and each catalogue is merged with it by exact match. Checked with GNU gettext (msgfmt, msgmerge,
msgattrib): form of the file, printf directives, plurals, a mnemonic where the original has one.
Checked here: {names} to be filled in, the letter of a mnemonic, mnemonics that meet in one section
of a menu, and ends of sentences. Exits 77 where gettext's tools are not installed.
"""

import gettext
import pathlib
import re
import shutil
import subprocess
import sys
import tempfile
import xml.etree.ElementTree as xml

WORDS = """_ N_ C_:1c,2 NC_:1c,2 g_dcgettext:2 g_dngettext:2,3 g_dpgettext2:2c,3""".split()
FLAGS = """N_:1:pass-c-format C_:2:pass-c-format NC_:2:pass-c-format g_dngettext:2:pass-c-format
g_strdup_printf:1:c-format g_string_printf:2:c-format g_string_append_printf:2:c-format
g_error_new:3:c-format g_set_error:4:c-format g_markup_printf_escaped:1:c-format
g_log:3:c-format g_print:1:c-format g_printerr:1:c-format""".split()
MNEMONIC = re.compile(r"_(.)")
SHOWN = 10


def run(*command, where=None):
    done = subprocess.run(command, cwd=where, capture_output=True, text=True, check=False)
    return done.returncode, done.stdout, done.stderr.strip()


def own_words(source):
    """The functions of po/meson.build whose messages are translated: name, the arguments that are
    messages, and those of them that are formats."""
    text = (source / "po" / "meson.build").read_text(encoding="utf-8")
    says = [(name, at, at) for name, at in re.findall(r"'(\w+)': '(\d+)'", text)]
    return says + re.findall(r"'(\w+)': \['([\dc,]+)', '([\d,]*)'\]", text)


def make_template(source, template):
    """xgettext's warnings are faults: a sentence cut off by a macro is never found again."""
    own = own_words(source)
    code, _, said = run("xgettext", "-o", str(template), "--from-code=UTF-8",
                        *("--keyword=" + word for word in WORDS),
                        *("--flag=" + flag for flag in FLAGS),
                        *(f"--keyword={name}:{at}" for name, at, _ in own),
                        *(f"--flag={name}:{at}:c-format" for name, _, formats in own
                          for at in formats.split(",") if at),
                        "--files-from=po/POTFILES", "-D", ".", where=source)
    return said.splitlines() if code or said else []


def messages(catalogue, folder):
    """Pairs of original and translation, singular and plural apart, without the header."""
    compiled = folder / "compiled.mo"
    code, _, said = run("msgfmt", "-o", str(compiled), str(catalogue))
    if code:
        return [("", said)]
    with compiled.open("rb") as file:
        held = gettext.GNUTranslations(file)._catalog
    pairs = []
    for key, text in held.items():
        original = key[0] if isinstance(key, tuple) else key
        if original:
            pairs.append((original.split("\x04")[-1], text))
    return pairs


def names_of(catalogue):
    """The first line of each message of a catalogue's text, without the header."""
    for entry in catalogue.split("\n\n"):
        words = re.search(r'"(.+)"', entry.partition("msgid ")[2])
        if words and "Content-Type:" not in entry:
            yield words[1]


def faults_of(original, text):
    """What is wrong with one translation, as sentences."""
    faults = []
    if set(re.findall(r"\{\w+\}", original)) != set(re.findall(r"\{\w+\}", text)):
        faults.append("other {names} than the original")
    if (original[:1] == " ", original[-1:] == " ") != (text[:1] == " ", text[-1:] == " "):
        faults.append("space at an end where the original has none, or none where it has")
    if original.endswith("…") != text.endswith("…"):
        faults.append("“…” at the end of one of the two only")
    letters = MNEMONIC.findall(text)
    if len(MNEMONIC.findall(original)) == 1 and (len(letters) != 1 or not letters[0].isalnum()):
        faults.append("no letter stands behind the “_” of its mnemonic")
    return faults


def menus(source):
    """Labels of each section of each menu, the sections within it apart. A whole menu may have
    more lines than the alphabet letters: there a letter goes on to the next line that has it."""
    for path in sorted((source / "ui").glob("*.ui")):
        for part in xml.parse(path).getroot().iter():
            if part.tag in ("menu", "submenu", "section"):
                yield path.name, [label.text for child in part if child.tag in ("item", "submenu")
                                  for label in child.findall("attribute")
                                  if label.get("name") == "label" and label.text]


def menu_faults(source, said):
    """Mnemonics that two lines of one section share, with the words of a catalogue."""
    for name, labels in menus(source):
        held = {}
        for label in labels:
            text = said.get(label, label)
            for letter in MNEMONIC.findall(text):
                if letter.lower() in held:
                    yield f"{name}: “{held[letter.lower()]}” and “{text}” share a mnemonic"
                held[letter.lower()] = text


def check(source, folder, template, language):
    catalogue = source / "po" / (language + ".po")
    if not catalogue.is_file():
        return ["named in po/LINGUAS, but there is no such file"]
    code, _, said = run("msgfmt", "-c", "--check-format", "--check-accelerators=_", "-o",
                        "/dev/null", str(catalogue))
    faults = [said] if code else []
    merged = folder / (language + ".po")
    code, _, said = run("msgmerge", "-q", "--no-fuzzy-matching", "-o", str(merged),
                        str(catalogue), str(template))
    if code:
        return faults + [said]
    for choice, what in ("--untranslated", "not translated"), ("--only-fuzzy", "fuzzy"):
        _, left, _ = run("msgattrib", "--no-obsolete", "--no-wrap", choice, str(merged))
        faults += [f"{what}: {name}" for name in names_of(left)]
    pairs = messages(merged, folder)
    for original, text in pairs:
        faults += [f"“{original}” is “{text}”: {fault}" for fault in faults_of(original, text)]
    return faults + list(menu_faults(source, dict(pairs)))


def main():
    source = pathlib.Path(sys.argv[1])
    if not all(shutil.which(tool) for tool in ("xgettext", "msgfmt", "msgmerge", "msgattrib")):
        print("gettext's tools are not installed")
        return 77
    lines = (source / "po" / "LINGUAS").read_text(encoding="utf-8").splitlines()
    languages = " ".join(line for line in lines if not line.startswith("#")).split()
    failed = False
    with tempfile.TemporaryDirectory() as name:
        folder = pathlib.Path(name)
        template = folder / "readbreak.pot"
        found = [("template", make_template(source, template)),
                 ("English", list(menu_faults(source, {})))]
        found += [(language, check(source, folder, template, language))
                  for language in languages]
    for where, faults in found:
        for fault in faults[:SHOWN]:
            print(f"{where}: {fault}")
        if len(faults) > SHOWN:
            print(f"{where}: and {len(faults) - SHOWN} more")
        failed = failed or bool(faults)
    return 1 if failed else 0


if __name__ == "__main__":
    sys.exit(main())
