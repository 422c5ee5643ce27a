"""What is sawn, read back from paper: each figure of the answer, and nothing else (5.2, 3.8)."""

from __future__ import annotations

import json
import re
from collections import Counter
from fractions import Fraction
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from service.products.registry import nouns
from service.report.printout.written import printout
from tests.independent import paper
from tests.strategies import jobs, requests
from tests.strategies.asking import Request, asked
from tests.strategies.budget import FEW
from tests.strategies.build_ups import build_ups

LENGTH = r"(?:\d+' )?[\d/-]+\"|[\d.]+ mm"
EDGE = r"(groove|tongue|near|far|both) edges?"
PLACE = rf"at the (left|right) end|({LENGTH}) from the left end"
SETTINGS = {
    "rip": rf"rip (?:the )?{EDGE} (?:to ({LENGTH})|from ({LENGTH}) at the left to ({LENGTH}) "
           rf"at the right)(?:, ({LENGTH}) of it, (?:{PLACE}))?",
    "notch": rf"notch ({LENGTH}) x ({LENGTH}) in the {EDGE}, (?:{PLACE})(, to the line inside it)?",
    "hole": rf"hole ({LENGTH}) x ({LENGTH}) ({LENGTH}) from the near edge, (?:{PLACE})"
            r"(, to the line inside it)?",
    "shape": rf"cut (?:(left|right) end to its line|{EDGE} to its line|(to its shape)), "
             r"see the drawing",
}  # fmt: skip
ANGLE = (
    rf"(left|right|both) ends? (?:([\d.]+) deg|({LENGTH}) out of square), long point at the {EDGE}"
)

Told = tuple[Any, ...]


def near(unit: str) -> Fraction:
    """By how much a printed width may differ: half of 1/32 in, or half of 0.1 mm."""
    return Fraction(1, 20) if unit == "mm" else Fraction(1, 64)


def nearly(unit: str) -> Fraction:
    """By how much a printed station may differ: half of 1/16 in, or half a millimetre."""
    return Fraction(1, 2) if unit == "mm" else Fraction(1, 32)


def is_told(row: Request, setting: str, piece: Request, unit: str) -> bool:
    """Whether a setting on paper says what a row of the answer says."""
    if row["do"] == "angle":
        return any(_is_angle(row, found) for found in re.finditer(ANGLE, setting))
    found = re.fullmatch(SETTINGS[row["do"]], setting)
    return found is not None and _READ[row["do"]](row, found, piece, unit)


def _is_angle(row: Request, found: re.Match[str]) -> bool:
    end, degrees, out, edge = found.groups()
    if end not in ("both", row["end"]) or edge != row["edge"]:
        return False
    if degrees is None:
        return row["angle"] < 1 and _same(out, row["length"], Fraction(1, 20))
    return abs(row["angle"] - float(degrees)) <= 0.05 + 1e-9


def _same(text: str, value: float, by: Fraction) -> bool:
    return abs(paper.measure(text) - Fraction(str(value))) <= by + Fraction(1, 10**5)


def near_of(length: float, unit: str) -> Fraction:
    """Lengths of notches from 2 ft up are written as marks are."""
    return near(unit) if length < (609.6 if unit == "mm" else 24) else nearly(unit)


def _rip(row: Request, found: re.Match[str], piece: Request, unit: str) -> bool:
    edge, level, low, high, length, *place = found.groups()
    widths = (level or low, level or high)
    alike = all(_same(one, two, near(unit)) for one, two in zip(widths, row["widths"], strict=True))
    whole = row["length"] >= piece["to"] - piece["from"] - 1e-5
    if whole or length is None:
        return edge == row["edge"] and alike and whole and length is None
    placed = _placed(row, place, piece, unit)
    return edge == row["edge"] and alike and _same(length, row["length"], nearly(unit)) and placed


def _placed(row: Request, place: list[str | None], piece: Request, unit: str) -> bool:
    end, at = place
    if at is not None:
        return _same(at, row["from_left"], nearly(unit))
    past = piece["to"] - piece["from"] - row["from_left"] - row["length"]
    return row["from_left"] == 0 if end == "left" else abs(past) < 1e-4


def _notch(row: Request, found: re.Match[str], piece: Request, unit: str) -> bool:
    depth, length, edge, end, at, line = found.groups()
    return (
        edge == row["edge"]
        and _same(depth, row["depth"], near(unit))
        and _same(length, row["length"], near_of(row["length"], unit))
        and _placed(row, [end, at], piece, unit)
        and (line is not None) == row["to_line"]
    )


def _hole(row: Request, found: re.Match[str], piece: Request, unit: str) -> bool:
    depth, length, edge, end, at, line = found.groups()
    return (
        _same(depth, row["depth"], near(unit))
        and _same(length, row["length"], near_of(row["length"], unit))
        and _same(edge, row["from_edge"], near(unit))
        and _placed(row, [end, at], piece, unit)
        and (line is not None) == row["to_line"]
    )


def _shape(row: Request, found: re.Match[str], piece: Request, unit: str) -> bool:
    end, edge, _ = found.groups()
    return (end or "none", edge or "none") == (row["end"], row["edge"])


_READ = {"rip": _rip, "notch": _notch, "hole": _hole, "shape": _shape}


def breaches(flat: Request, columns: int = 80) -> list[str]:
    """What paper says of the saws that the answer does not, and what it leaves out."""
    text, unit = printout(flat, nouns(), columns), flat["units"]["length"]
    told: dict[str, list[str]] = {}
    for setting, names in paper.settings(text).items():
        for name in [one for told_of in names for one in meant(told_of, setting, flat)]:
            told.setdefault(name, []).append(setting)
    named: dict[str, list[Request]] = {}
    for name, piece in zip(paper.called(flat["pieces"]), flat["pieces"], strict=True):
        named.setdefault(name, []).append(piece)
    found = [f"{name} is none of the pieces" for name in told.keys() - named.keys()]
    for name, pieces in named.items():  # of several products, each with a cut list of its own
        own, wanted = told.get(name, []), sum(map(count_of_settings, pieces))
        if len(own) != wanted:
            found.append(f"{name}: {own} for {[piece['work'] for piece in pieces]}")
        found += [
            f"{name}: {row} is not in {own}"
            for piece in pieces
            for row in piece["work"]
            if not any(is_told(row, setting, piece, unit) for setting in own)
        ]
    return found


def meant(told: str, setting: str, flat: Request) -> list[str]:
    """The name of a piece, or the names of all that are so long of a product: `all 3 at 8' 0"`."""
    found = re.fullmatch(rf"all (\d+) at ({LENGTH})", told)
    if found is None:
        return [told]
    unit, at = flat["units"]["length"], paper.measure(found[2])
    half, hair = nearly(unit), Fraction(1, 10**5)
    names = paper.called(flat["pieces"])
    so_long: dict[str, list[tuple[str, Request]]] = {}
    for name, piece in zip(names, flat["pieces"], strict=True):
        if at - half - hair <= Fraction(str(piece["length"])) < at + half - hair:
            so_long.setdefault(piece["product"], []).append((name, piece))
    return next(
        [name for name, _ in own]
        for own in so_long.values()
        if len(own) == int(found[1])
        and all(any(is_told(row, setting, piece, unit) for row in piece["work"])
                for _, piece in own)
    )  # fmt: skip


def count_of_settings(piece: Request) -> int:
    """One for each thing that is done to a piece; the angles of both ends are set for at once."""
    angles = sum(row["do"] == "angle" for row in piece["work"])
    return len(piece["work"]) - max(0, angles - 1)


def test_a_written_length_is_read_back() -> None:
    told = {"5' 3-1/2\"": Fraction(127, 2), '13/16"': Fraction(13, 16), '9"': 9, "12' 0\"": 144,
            "77.3 mm": Fraction(773, 10), "2' 0-15/16\"": Fraction(399, 16)}  # fmt: skip
    assert {text: paper.measure(text) for text in told} == told


@FEW
@given(st.one_of(jobs.jobs(), jobs.with_near_openings(), build_ups(jobs.with_openings())),
       st.integers(60, 100))  # fmt: skip
def test_paper_says_what_the_answer_says_of_the_saws(request: Request, columns: int) -> None:
    assert breaches(json.loads(asked(request).body), columns) == []


def metric(taper: float) -> Request:
    """A ceiling of 3 by 2 m whose top wall falls, in millimetres, with an opening."""
    ring = [[0, 0], [3000, 0], [3000, 2000 - taper], [0, 2000]]
    board = requests.board(4200, cover=135, overall=141) | {"thickness": 19}
    box = {"id": "box", "rectangle": [700, 900, 160, 60]}
    behind = requests.supports(400) | {"thickness": 38}
    area = requests.outline(ring, behind=behind, openings=[box])
    return requests.job(area, board, when_blocked="relax") | {"unit": "mm"}


@pytest.mark.parametrize("taper", [0, 5, 60, 120])
def test_tapers_cutouts_and_angles_in_millimetres(taper: float) -> None:
    flat = json.loads(asked(metric(taper)).body)
    done = Counter(row["do"] for piece in flat["pieces"] for row in piece["work"])
    assert done["rip"]
    assert done["notch"] + done["hole"]
    assert bool(done["angle"]) == (taper > 6.35)  # half on each side (3.8)
    assert breaches(flat) == []


def test_short_points_are_what_is_left_between_the_angles() -> None:
    """A trapezoid at 45 degrees: the short edge is shorter by the board's width at each end."""
    cover = requests.COVER
    ring = [[0, 0], [120, 0], [120 - 2 * cover, 2 * cover], [2 * cover, 2 * cover]]
    area = requests.outline(ring, layer={"start": "full_first", "joints": "anywhere"})
    flat = json.loads(asked(requests.job(area, requests.board("16 ft"), rules={"gap": 0})).body)
    text = printout(flat, nouns(), 80)
    pieces = {piece["label"]: piece for piece in flat["pieces"]}
    found = paper.short_points(text)
    assert set(found) == set(pieces)
    for name, (told,) in found.items():
        assert told.startswith("short point ")
        length = Fraction(str(pieces[name]["length"])) - 2 * Fraction(str(cover))
        assert abs(paper.measure(told.removeprefix("short point ")) - length) <= Fraction(1, 32)


@FEW
@given(jobs.jobs())
def test_batches_count_every_piece_by_its_length(request: Request) -> None:
    flat = json.loads(asked(request).body)
    told = paper.batches(printout(flat, nouns(), 80))
    if told:
        assert sum(told.values()) == len(flat["pieces"])
        counts = Counter(piece["length"] for piece in flat["pieces"])
        for text, count in told.items():
            by = Fraction(1, 32) + Fraction(1, 10**5)
            alike = [n for length, n in counts.items()
                     if abs(Fraction(str(length)) - paper.measure(text)) <= by]  # fmt: skip
            assert count in (sum(alike), *alike)
        lengths = [paper.measure(text) for text in told]
        assert lengths == sorted(lengths, reverse=True)


def test_a_page_that_does_not_say_it_is_found() -> None:
    """Each figure that is changed in the answer is missed on paper, and the other way round."""
    flat = json.loads(asked(metric(120)).body)
    for piece in flat["pieces"]:
        for row in piece["work"]:
            for key in ("widths", "depth", "angle", "edge"):
                kept = row[key]
                if kept in (None, [], "none"):
                    continue
                row[key] = {"widths": [9.0, 9.0], "depth": 1.0, "angle": 80.0, "edge": "both"}[key]
                text = printout(flat, nouns(), 80)
                row[key] = kept
                names = [name for own in paper.settings(text).values() for name in own]
                assert piece["label"] in names
                told = [one for one, own in paper.settings(text).items() if piece["label"] in own]
                assert not any(is_told(row, one, piece, "mm") for one in told), (row, key)
