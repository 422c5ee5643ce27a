"""Reads the takeoff on paper back, by what it says alone: sections, the order, names of pieces."""

from __future__ import annotations

import re
from fractions import Fraction
from typing import Any

Sections = dict[str, list[str]]


def sections(text: str) -> Sections:
    """Lines by the heading that they stand under; a heading has a rule behind it."""
    found: Sections = {}
    name = ""
    for line in text.splitlines():
        if heading := re.fullmatch(r"(\S.*?) -{2,}", line):
            name = heading[1]
            found[name] = []
        elif name:
            found[name].append(line)
    return found


def called(pieces: list[dict[str, Any]]) -> list[str]:
    """What each piece is to be called: surface and layer before its label where they tell it from
    others of its product.
    """
    places: dict[str, list[set[str]]] = {}
    for row in pieces:
        own = places.setdefault(row["product"], [set(), set()])
        own[0].add(row["surface"])
        own[1].add(row["layer"])
    return [
        ".".join((*[row[key] for key, own in zip(("surface", "layer"), places[row["product"]],
                                                 strict=True) if len(own) > 1], row["label"]))
        for row in pieces
    ]  # fmt: skip


def cut_names(text: str) -> list[str]:
    """The pieces that the cut lists name: what stands in square brackets after the cuts.

    Names ripped from one board have a slash between them.
    """
    names = []
    for lines in _cut_lists(text):
        for made in re.findall(r"\[([^\]]*)\]", " ".join(line.strip() for line in lines)):
            names += _named(made)
    return names


def _named(made: str) -> list[str]:
    """The names in one pair of brackets, and those between of which the ends alone stand there.

    `2.1.1 to 9.1.1` is that piece of courses 2 to 9, `3.1.1, 7.1.1 ... 23.1.1` that of each fourth
    one; what is held in brackets is named together, each time.
    """
    names = []
    for one in re.split(r"\s*;\s*", re.sub(r"\s+", " ", made.strip())):
        ends = re.split(r" to |, | \.\.\. ", one)
        groups = [re.split(r"\s*[+/]\s*", end.strip("()")) for end in ends]
        names += [name for places in zip(*groups, strict=True) for name in _between(places, one)]
    return names


def _between(places: tuple[str, ...], text: str) -> list[str]:
    """One name, or from the first to the last: by ones, or as the second is from the first."""
    if len(places) == 1:
        return list(places)
    told = [_LABEL.fullmatch(place).groups() for place in places]
    assert len({(before, place) for before, _, place in told}) == 1, text
    first, *second, last = (int(number) for _, number, _ in told)
    step = second[0] - first if second else 1
    assert (last - first) % step == 0, text
    before, _, place = told[0]
    return [f"{before}{k}{place}" for k in range(first, last + 1, step)]


_LABEL = re.compile(r"(|.*\.)(\d+)(\.\d+[a-z]?\.\d+)")


def _cut_lists(text: str) -> list[list[str]]:
    """The lines of each cut list, from its caption to the next empty line."""
    lists: list[list[str]] = []
    open_list = False
    for line in text.splitlines():
        if re.match(r"  (Cut list|Sheets, and how)", line):
            lists.append([])
            open_list = True
        elif not line:
            open_list = False
        elif open_list:
            lists[-1].append(line)
    return lists


def totals(text: str) -> list[str]:
    """The figures of the order's last line, price and weight, without commas; none without it."""
    for line in sections(text).get("WHAT TO ORDER", []):
        if found := re.match(r"\s+total[a-z ]*?\s{2,}(\S.*)$", line):
            return found[1].replace(",", "").split()
    return []


_PACK = "box(?:es)?|(?:pack|coil|strip|carton|tub|pail)s?"
_BUY = rf"\s*(?:([\d,]+)|[\d,]+ (?:{_PACK}) \(([\d,.]+)\))  \S"


def bought(text: str) -> list[float]:
    """How many pieces each line of the order buys, as it stands there."""
    counts = []
    for line in sections(text).get("WHAT TO ORDER", [])[1:]:
        if found := re.match(_BUY, line):
            counts.append(float((found[1] or found[2]).replace(",", "")))
    return counts


def measure(text: str) -> Fraction:
    """A length as it is written, `5' 3-1/2"`, `13/16"` or `77.3 mm`, in inches or millimetres."""
    if text.endswith(" mm"):
        return Fraction(text.removesuffix(" mm"))
    found = re.fullmatch(r"(?:(\d+)' )?(?:(\d+)(?:-|(?=\")))?(?:(\d+)/(\d+))?\"", text)
    assert found is not None, text
    feet, whole, part, parts = (int(one or 0) for one in found.groups())
    return 12 * feet + whole + (Fraction(part, parts) if parts else 0)


def settings(text: str) -> dict[str, list[str]]:
    """What saws are set to, with the names of the pieces that each setting is for.

    Where it is for all of a length these have no names, but what is told of them: `all 3 at 8' 0"`.
    """
    found: dict[str, list[str]] = {}
    for own in _paragraphs(text, "  Rips, angles and notches"):
        setting, _, cells = own.partition(": ")
        made = [name for one in re.findall(r"\[([^\]]*)\]", cells) for name in _named(one)]
        assert setting not in found, setting
        whole = re.findall(r"(?:^|; )(all \d+ at (?:\d+' )?[^,;\[]*)", cells)
        found[setting] = made + whole
        counts = [int(one) for one in re.findall(r"(?:^|; )(\d+) at ", cells)]
        assert sum(counts) == len(made), own
    return found


def short_points(text: str) -> dict[str, list[str]]:
    """What stands behind the length of a piece that is cut to an angle, by its name."""
    found: dict[str, list[str]] = {}
    for own in _paragraphs(text, "  Rips, angles and notches"):
        for inner, made in re.findall(r"\d+ at [^,;\[]*, ([^\[;]*) \[([^\]]*)\]", own):
            found |= dict.fromkeys(_named(made), inner.split(", "))
    return found


def batches(text: str) -> dict[str, int]:
    """How many pieces there are of each length."""
    lines = [line for one in _blocks(text, "  Lengths, one stop") for line in one]
    cells = [cell for line in lines for cell in re.findall(r"(\d+) at (\S+(?: \S+)*)", line)]
    return {length: int(count) for count, length in cells}


def _paragraphs(text: str, caption: str) -> list[str]:
    """The paragraphs under a caption, each in one line, without their marks."""
    found: list[str] = []
    for lines in _blocks(text, caption):
        for line in lines:
            if line.startswith("    - "):
                found.append(line.removeprefix("    - "))
            elif line.startswith("      "):
                found[-1] += " " + line.strip()
    return found


def _blocks(text: str, caption: str) -> list[list[str]]:
    """The lines from each place of a caption to the next empty line."""
    lines = text.splitlines()
    blocks = []
    for k, line in enumerate(lines):
        if line.startswith(caption):
            end = next((j for j in range(k, len(lines)) if not lines[j]), len(lines))
            blocks.append(lines[k + 1 : end])
    return blocks
