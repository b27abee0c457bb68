# SPDX-License-Identifier: GPL-3.0-or-later
"""The help says the same in every language, with the words that the window has in it.

usage: check-help.py SOURCE

Of each folder of ui/help but C: it has the pages of C, each with the elements of C in the same
order, with the same ids, links, code and examples and no sentence left in English. What is bold on
the English page is a label of the window; that, and a label alone in a heading or a cell, stands
there as the catalogue has it. Keys are the same, but for their names and for the letters
that a language gives to its mnemonics. Every folder is installed and in the program's resources.
"""

import pathlib
import re
import sys
import xml.etree.ElementTree as xml

SHOWN = 10
HTML = "{http://www.w3.org/1999/xhtml}"
BLOCKS = ("title", "h1", "h2", "p", "li", "th", "td")
LABELS = ("title", "h1", "h2", "strong", "td")
OTHERS = {"Watch"}  # labels that stand for another thing where the help says the same word
SENTENCE = 4  # words: shorter texts can be the same in two languages
KEYS = {"es": {"Space": "Espacio", "Left": "Izquierda", "Right": "Derecha", "Up": "Arriba",
               "Down": "Abajo", "Backspace": "Retroceso", "Delete": "Supr", "Shift": "Mayús",
               "Page Up": "RePág", "Page Down": "AvPág"}}


def plain(text):
    """A label without mnemonic and dots, blanks as a browser has them."""
    return " ".join(text.replace("_", "").removesuffix("…").split())


def said_by(catalogue):
    """The translations of each label: one English word can have several."""
    said = {}
    for entry in catalogue.read_text(encoding="utf-8").split("\n\n"):
        found = re.search(r'^msgid ((?:".*"\n)+)msgstr ((?:".*"\n?)+)', entry, re.M)
        if found:
            key, text = ("".join(re.findall(r'"(.*)"', part)) for part in found.groups())
            said.setdefault(plain(key), set()).add(plain(text))
    return said


def elements(path):
    return [(part.tag.removeprefix(HTML), part) for part in xml.parse(path).getroot().iter()]


def words(part):
    return " ".join("".join(part.itertext()).split())


def key_of(name, table):
    """A combination of keys as a language writes it. A letter with Alt is a mnemonic: any letter."""
    if re.fullmatch(r"Alt\+[A-Z]", name):
        return "Alt+?"
    return "+".join(table.get(one, one) for one in name.split("+"))


def word_fault(tag, ours, theirs, said):
    """A sentence still in English, or a label that the window does not have or has otherwise."""
    if tag in BLOCKS and ours == theirs and len(ours.split()) >= SENTENCE:
        return f"“{ours}” is not translated"
    if tag == "strong" and ours not in said:
        return f"the window has no “{ours}”"
    if tag in LABELS and ours in said.keys() - OTHERS and theirs not in said[ours]:
        return f"“{ours}” is “{theirs}”, in the window {sorted(said[ours])}"
    return None


def part_faults(tag, part, other, said, keys):
    if {**part.attrib, "lang": ""} != {**other.attrib, "lang": ""}:
        yield f"{tag} {part.attrib} is {other.attrib}"
    ours, theirs = words(part), words(other)
    if not theirs and ours:
        yield f"nothing stands for “{ours}”"
    if tag in ("code", "pre") and part.text != other.text:
        yield f"the code “{ours[:40]}” is “{theirs[:40]}”, or differs after that"
    elif tag == "kbd" and key_of(ours, keys) != key_of(theirs, {}):
        yield f"the key {ours} is {theirs}, not {key_of(ours, keys)}"
    elif part.find(HTML + "code") is None and word_fault(tag, ours, theirs, said):
        yield word_fault(tag, ours, theirs, said)


def page_faults(page, other, language, said):
    ours, theirs = elements(page), elements(other)
    if theirs[0][1].get("lang") != language:
        yield f"its language is {theirs[0][1].get('lang')}"
    for at, ((tag, part), (its_tag, its)) in enumerate(zip(ours, theirs)):
        if tag != its_tag:
            yield f"element {at}, “{words(part)[:40]}”, is {its_tag} instead of {tag}"
            return
        yield from part_faults(tag, part, its, said, KEYS.get(language, {}))
    if len(ours) != len(theirs):
        yield f"it has {len(theirs)} elements instead of {len(ours)}"


def names_of(folder):
    return sorted(path.name for path in folder.iterdir())


def language_faults(source, language):
    folder = source / "ui" / "help" / language
    said = said_by(source / "po" / (language + ".po"))
    first = source / "ui" / "help" / "C"
    if names_of(folder) != names_of(first):
        yield f"its pages are {names_of(folder)}"
    for page in sorted(first.iterdir()):
        if (folder / page.name).is_file():
            for fault in page_faults(page, folder / page.name, language, said):
                yield f"{page.name}: {fault}"


def place_faults(source, languages):
    """Folders without a catalogue, not installed, or not in the program."""
    listed = (source / "po" / "LINGUAS").read_text(encoding="utf-8").splitlines()
    if languages != sorted(" ".join(line for line in listed if line[:1] != "#").split()):
        yield f"the languages of po/LINGUAS are not {languages}"
    installs = re.search(r"foreach language : \[(.*)\]",
                         (source / "ui" / "meson.build").read_text(encoding="utf-8"))[1]
    if sorted(re.findall(r"'(\w+)'", installs)) != sorted(["C", *languages]):
        yield f"ui/meson.build installs {installs}"
    held = (source / "ui" / "readbreak.gresource.xml").read_text(encoding="utf-8")
    there = {str(path.relative_to(source / "ui")) for path in (source / "ui").glob("help/*/*")}
    for name in sorted(there ^ set(re.findall(r"<file>(help/.*)</file>", held))):
        yield f"{name} is on disk or in the resources, not in both"


def main():
    source = pathlib.Path(sys.argv[1])
    languages = [name for name in names_of(source / "ui" / "help") if name != "C"]
    found = [("help", list(place_faults(source, languages)))]
    found += [(language, list(language_faults(source, language))) for language in languages]
    for where, faults in found:
        for fault in faults[:SHOWN]:
            print(f"{where}: {fault}")
        if len(faults) > SHOWN:
            print(f"{where}: and {len(faults) - SHOWN} more")
    return 1 if any(faults for _, faults in found) else 0


if __name__ == "__main__":
    sys.exit(main())
