"""Reads the takeoff on paper back, by what it says alone: sections, the order, names of pieces."""

from __future__ import annotations

import re

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


def cut_names(text: str) -> list[str]:
    """The pieces that the cut lists name: what stands in square brackets after the cuts.

    Names ripped from one board have a slash between them.
    """
    names = []
    for lines in _cut_lists(text):
        for made in re.findall(r"\[([^\]]*)\]", " ".join(line.strip() for line in lines)):
            names += [name for name in re.split(r"[;+/\s]+", made) if name]
    return names


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


def bought(text: str) -> list[float]:
    """How many pieces each line of the order buys, as it stands there."""
    counts = []
    for line in sections(text).get("WHAT TO ORDER", [])[1:]:
        if found := re.match(r"\s*(?:([\d,]+)|[\d,]+ packs? \(([\d,.]+)\))  \S", line):
            counts.append(float((found[1] or found[2]).replace(",", "")))
    return counts
