"""What is alike stands once on paper and on drawings, and which bay each piece goes to is told."""

from __future__ import annotations

import json
import re
from html import unescape
from pathlib import Path
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from service.answering.operation import SVG, TEXT
from service.compute import Picked
from service.report.drawing.listed import listed_rows
from service.report.printout.columns import UNBROKEN
from service.report.printout.cuts import cut_list
from service.report.printout.lengths import Lengths
from service.report.printout.ranges import in_ranges
from service.report.stepped import stepped
from tests.independent import paper
from tests.strategies.asking import answered, body_of, in_forms
from tests.strategies.budget import FEW

COFFERS = Path("service/products/kinds/box_beams/examples/coffers.json")


@pytest.mark.parametrize(("names", "expected"), [
    (["1.1.1", "5.1.1", "9.1.1", "13.1.1"], "1.1.1, 5.1.1 ... 13.1.1"),
    (["1.1.1", "5.1.1", "9.1.1"], "1.1.1, 5.1.1, 9.1.1"),
    (["1.1.1", "2.1.1", "5.1.1", "8.1.1", "11.1.1", "20.1.1"],
     "1.1.1, 2.1.1, 5.1.1 ... 11.1.1, 20.1.1"),
    (["a.b.2.1.1", "a.b.4.1.1", "a.b.6.1.1", "a.b.8.1.1", "a.c.10.1.1"],
     "a.b.2.1.1, a.b.4.1.1 ... a.b.8.1.1, a.c.10.1.1"),
    (["4.1.1", "3.1.1", "2.1.1", "1.1.1"], "4.1.1, 3.1.1, 2.1.1, 1.1.1"),
    (["1.1.1+1.1.2", "2.1.1+2.1.2", "3.1.1+3.1.2", "4.1.1+4.1.2"], "1.1.1+1.1.2, 2.1.1+2.1.2, "
     "3.1.1+3.1.2, 4.1.1+4.1.2"),
    ([], ""),
])  # fmt: skip
def test_names_at_equal_steps(names: list[str], expected: str) -> None:
    assert stepped(names) == expected


@pytest.mark.parametrize(("names", "expected"), [
    (["3.1.1", "1.1.1", "2.1.1", "4.2.1"], ["1.1.1 to 3.1.1", "4.2.1"]),
    (["1.1.1", "2.1.1", "4.1.1"], ["1.1.1", "2.1.1", "4.1.1"]),
    (["3.1.1", "7.1.1", "11.1.1", "15.1.1"], ["3.1.1, 7.1.1 ... 15.1.1"]),
    (["3.1.1", "7.1.1", "11.1.1"], ["3.1.1", "7.1.1", "11.1.1"]),
    (["2.1b.1", "3.1b.1", "2.1f.1", "4.1b.1"], ["2.1b.1 to 4.1b.1", "2.1f.1"]),
    (["d.2.1.1 + d.2.2.1", "d.3.1.1 + d.3.2.1", "d.4.1.1 + d.4.2.1", "d.4.1.1 + d.5.2.1"],
     ["(d.2.1.1 + d.2.2.1) to (d.4.1.1 + d.4.2.1)", "d.4.1.1 + d.5.2.1"]),
    (["1.1.1/2.1.1", "3.1.1/4.1.1", "5.1.1/6.1.1", "7.1.1/8.1.1"],
     ["(1.1.1/2.1.1), (3.1.1/4.1.1) ... (7.1.1/8.1.1)"]),
    (["1.1.1", "1.1.1", "1.1.1", "shelf", "a + b"], ["1.1.1", "1.1.1", "1.1.1", "a + b", "shelf"]),
    ([], []),
])  # fmt: skip
def test_names_that_follow_one_another(names: list[str], expected: list[str]) -> None:
    assert in_ranges(names) == expected


@given(st.lists(st.from_regex(r"[1-9]\.[12]\.[12]( \+ [1-9]\.[12]\.[12])?", fullmatch=True)))
@FEW
def test_names_in_ranges_are_read_back(names: list[str]) -> None:
    made = f"  Cut list\n  [{'; '.join(in_ranges(names))}]" if names else ""
    assert sorted(paper.cut_names(made)) == sorted(
        part for one in names for part in one.split(" + ")
    )


def test_pieces_of_sticks_whose_cuts_are_all_alike_are_named_in_ranges() -> None:
    """Any of them may come of any stick; where one is worked each stick has its own."""
    sticks = [
        {"stick": f"pine-{k}", "product": "pine", "length": 144.0, "cuts": [35.0] * 4,
         "pieces": [f"{n}.1.1" for n in range(4 * k - 3, 4 * k + 1)], "beside": [[]] * 4,
         "laps": [0.0] * 3, "offcut": 3.5, "kept": False, "owned": False}
        for k in (1, 2)
    ]  # fmt: skip
    assert made_of(sticks, []) == """4 at 2' 11"  [1.1.1 to 8.1.1]"""
    worked = {"id": "3.1.1", "label": "3.1.1", "surface": "loft", "layer": "boards",
              "product": "pine", "work": [{"do": "rip", "widths": [2.0, 2.0], "length": 35.0,
                                           "angle": 0, "edge": "far", "end": "none"}],
              "from": 0.0, "to": 35.0}  # fmt: skip
    told = made_of(sticks[:1], [worked])
    assert told.startswith("""2' 11" + 2' 11" + 2' 11" (rip to 2") + 2' 11"  [1.1.1 + 2.1.1 + """)


def made_of(sticks: list[dict[str, Any]], pieces: list[dict[str, Any]]) -> str:
    """The last cell of the only row of a cut list."""
    (table,) = cut_list({"sticks": sticks, "pieces": pieces}, "pine", "stick", Lengths("in"))
    return table.cells[-1][-1].replace(UNBROKEN, " ")


def test_what_finds_no_room_in_a_drawing_is_listed_once_for_all_of_a_size() -> None:
    """Names in their order, the sizes as they first come; one alone and a bare text as they are."""
    texts = ["1.1.1: 9 in", "2.1.1: 8 in", "3.1.1: 9 in", "no size", "4.1.1: 7 in"]
    (row,) = listed_rows(texts, 200.0)
    assert [one.text for one in row] == ["1.1.1, 3.1.1: 9 in", "2.1.1: 8 in", "no size",
                                         "4.1.1: 7 in"]  # fmt: skip
    assert [one.text for one in listed_rows(texts[:3:2], 30.0)[0]] == ["1.1.1: 9 in"]


def test_mouldings_of_twelve_bays_are_four_rows_that_name_their_bays() -> None:
    """A row for each side of the bays, with as many pieces, in the order of the bays."""
    request = json.loads(COFFERS.read_bytes())
    text, drawing = (unescape(one.body.decode()) for one in in_forms(
        body_of(request), [Picked(media=TEXT, columns=100), Picked(media=SVG)]))  # fmt: skip
    block = text.split("Lengths, ends as you face them:")[1].split("In all:")[0]
    rows = re.findall(r"12 x  bays 1 to 12,.*?(?=12 x|$)", block, re.DOTALL)
    words = [" ".join(row.split()) for row in rows]
    sides = [re.findall(r"\b(?:bottom|right|top|left)\b", row) for row in words]
    assert sides == [["bottom"], ["right"], ["top"], ["left"]]
    for k, row in enumerate(words, 1):
        assert f"[{k}.1.1, {k + 4}.1.1 ... {k + 44}.1.1]" in row
    answer = answered(request)
    for k, bay in enumerate(answer["bays"]):
        bottom = answer["trim_lengths"][4 * k]
        assert bottom["from"] == bay["from"]
        assert bottom["to"][1] == bay["from"][1]
    assert "2.1.1, 4.1.1 ... 48.1.1: 3' 10-7/8" in drawing
    # Clear bays of (222 - 2 x 3.5 - 3 x 7.125) / 4 = 48.406 in and (162 - 7 - 14.25) / 3 = 46.917:
    # centres at 3.5 + 48.406 + 3.5625 = 55.469 in and 3.5 + 46.917 + 3.5625 = 53.979 up (16.2).
    for mark in ("1: 1-3/4", "2: 4' 6", "3: 9' 0", "4: 13' 4-1/4", "5: 1-3/4", "6: 4' 7-1/2",
                 "7: 9' 3", "8: 13' 10-9/16", "9: 18' 4-1/4"):  # fmt: skip
        assert f'>{mark}"</text>' in drawing
    for number in (6, 7, 8):  # too narrow for more than their numbers
        assert f">{number}</text>" in drawing
