"""Rows of sheets that show: they fill the wall, rip on grooves alone, and mirror as they should.

Common practice of beaded sheets; every expected figure is arithmetic on the rule beside it.
"""

from __future__ import annotations

from itertools import pairwise
from pathlib import Path
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from service.layout.panelling import Module, Seats, panelled
from service.units.ticks import INCH
from tests.independent.sheet_verifier import sheet_faults
from tests.strategies import kinds
from tests.strategies.asking import answered, refused
from tests.strategies.budget import examples
from tests.strategies.requests import changed

LAYER = "/surfaces/0/layers/0"
EXAMPLE = Path(__file__).parents[2] / "service/products/kinds/sheathing/examples/beadboard.json"

STUD = 3 * INCH // 4


@st.composite
def modules(draw: st.DrawFn) -> Module:
    """Sheets of a foot to 4 ft, with beads or none, lapped or with a gap."""
    pitch = draw(st.sampled_from([0, INCH, 3 * INCH // 2, 2 * INCH, 3 * INCH]))
    width = draw(st.integers(12, 48)) * INCH
    lap = draw(st.sampled_from([0, 3 * INCH // 8]))
    gap = 0 if lap else draw(st.sampled_from([0, INCH // 16, INCH // 8]))
    return Module(width, width - lap, gap, pitch, 6 * INCH)


@given(modules(), st.integers(INCH, 400 * INCH), st.booleans(), st.booleans(), st.data())
@examples(40)
def test_rows_fill_the_wall_and_rip_on_grooves(
    module: Module, net: int, starts_low: bool, on_studs: bool, data: st.DataObject
) -> None:
    """First row whole or whole beads, whole ones between, the last takes what is left (12.1)."""
    seats = None
    if on_studs:
        first = data.draw(st.integers(0, 16)) * INCH
        seats = Seats(tuple(range(first, net, 16 * INCH)), STUD - INCH // 2)
    rows = panelled(0, net, module, seats, starts_low)
    widths = [row.face for row in rows]
    gaps = [max(a.low, b.low) - min(a.high, b.high) for a, b in pairwise(rows)]
    assert gaps == [module.gap] * (len(rows) - 1)
    left = net - sum(widths) - sum(gaps)
    assert 0 <= left <= module.gap
    assert all(wide == module.cover for wide in widths[1:-1])
    assert 0 < widths[-1] <= module.width
    if len(rows) > 1 and module.pitch:
        assert widths[0] == module.cover or widths[0] % module.pitch == 0
    assert (rows[0].low == 0) if starts_low else (rows[0].high == net)


@given(modules(), st.integers(50 * INCH, 400 * INCH))
@examples(30)
def test_no_row_is_a_sliver_where_beads_can_share(module: Module, net: int) -> None:
    """Two outer rows share a whole sheet and more: each has half of it, less half a bead."""
    rows = panelled(0, net, module, None, True)
    if len(rows) > 1 and module.pitch:
        ends = rows[0].face, rows[-1].face
        assert min(ends) >= min(module.least, (module.cover - module.pitch) // 2 - module.gap)


@given(modules(), st.integers(50 * INCH, 300 * INCH), st.integers(0, 16))
@examples(30)
def test_a_wall_and_its_mirror_image_are_laid_alike(module: Module, net: int, first: int) -> None:
    """Started from the other side, with its studs mirrored too, each row is the image of one."""
    stations = tuple(range(first * INCH, net, 16 * INCH))
    turned = tuple(sorted(net - at for at in stations))
    room = STUD - INCH // 2
    one = panelled(0, net, module, Seats(stations, room), True)
    other = panelled(0, net, module, Seats(turned, room), False)
    assert [(net - row.high, net - row.low) for row in other] == [(r.low, r.high) for r in one]


@pytest.mark.parametrize(("net", "stud", "faces"), [
    (146, 9.5, [25.5, 48, 48, 24.5]), (120, 10, [42, 48, 30]),
])  # fmt: skip
def test_all_seams_are_on_studs_where_one_first_row_has_them_so(
    net: int, stud: float, faces: list[float]
) -> None:
    """Beads of 1-1/2 in: 146 in with studs at 25-1/2 and every 16 in on, 120 with studs at 42.

    Without studs 120 in would start with a whole sheet and end with 24 in.
    """
    module = Module(48 * INCH, 48 * INCH, 0, 3 * INCH // 2, 12 * INCH)
    seats = Seats(tuple(range(int(stud * INCH), net * INCH, 16 * INCH)), INCH // 4)
    rows = panelled(0, net * INCH, module, seats, True)
    assert [row.face / INCH for row in rows] == faces
    assert all(seats.bears(row.high) for row in rows[:-1])


def wainscot(**sheet: Any) -> dict[str, Any]:
    """A wall of 120 in under sheets 48 in wide that show."""
    stock = {"id": "bead", "form": "sheet", "width": 48, "thickness": 0.25,
             "stock": [{"length": 96}]}  # fmt: skip
    layer = {"id": "bead", "kind": "sheathing", "product": "bead"}
    wall = {"id": "wall", "type": "wall", "rectangle": [120, 36], "layers": [layer],
            "supports": {"direction": 90, "spacing": 16}}  # fmt: skip
    return {"unit": "in", "surfaces": [wall], "products": [stock | sheet]}


@pytest.mark.parametrize(
    ("sheet", "code", "pointer"),
    [
        ({"lap": 24}, "lap-wide", "/products/0/lap"),
        ({"width": 12, "beads": {"pitch": 13}}, "beads-wide", "/products/0/beads/pitch"),
    ],
)
def test_edges_that_leave_nothing_are_refused(
    sheet: dict[str, Any], code: str, pointer: str
) -> None:
    _, (fault,) = refused(wainscot(**sheet))
    assert (fault["code"], fault["pointer"]) == (code, pointer)


def test_beads_that_no_gap_makes_good_are_told_and_strips_cover_them() -> None:
    """48 is 34 beads of 1.4 and 0.4 over; the next whole bead is 1 in off, too wide a gap."""
    request = wainscot(beads={"pitch": 1.4})
    told = {row["code"]: row for row in answered(request)["findings"]}
    assert (told["beads-broken"]["measure"], told["beads-broken"]["cure"]) == (0.4, None)
    lath = {"id": "lath", "form": "lumber", "width": 1.5, "thickness": 0.25,
            "stock": [{"length": 40}]}  # fmt: skip
    covered = answered(
        changed(changed(request, "/products/-", lath), f"{LAYER}/strips", {"seams": "lath"})
    )
    assert not [row for row in covered["findings"] if row["code"] == "beads-broken"]
    assert [row["buy"] for row in covered["order"] if row["product"] == "lath"] == [2]


def test_battens_stay_where_a_change_leaves_a_sheet_beside_them() -> None:
    """An outlet moves from one sheet to the next: a sheet is new, all battens are put back."""
    before = kinds.request_of(EXAMPLE)
    after = changed(before, "/surfaces/0/openings/0/rectangle", [100, 14, 2.5, 4])
    answer = answered({"before": before, "after": after, "installed": "everything"}, "changes")
    done = {(row["product"], row["do"]) for row in answer["pieces"] if row["surface"] != "porch"}
    assert done == {
        ("beaded", "keep"), ("beaded", "remove"), ("beaded", "recut"), ("beaded", "add"),
        ("batten", "keep"), ("h_strip", "keep"),
    }  # fmt: skip


SHEET = 97 * INCH // 2


def lapped(walls: list[float], begun: list[bool]) -> dict[str, Any]:
    """Walls 36 in high under lapped sheets of 40 in; those `begun` start with an offcut."""
    request = wainscot(lap=0.5, width=48.5, beads={"pitch": 1.5}, stock=[{"length": 40}])
    (wall,) = request["surfaces"]
    request["surfaces"] = [
        wall | {"id": f"w{k}", "rectangle": [long, 36], "layers": [
            wall["layers"][0] | ({"wrap_corner": f"w{k - 1}"} if k and on else {})
        ]}
        for k, (long, on) in enumerate(zip(walls, begun, strict=True))
    ]  # fmt: skip
    return request


@given(
    st.lists(st.integers(60, 400).map(lambda n: n / 2), min_size=2, max_size=5),
    st.lists(st.booleans(), min_size=5, max_size=5),
)
@examples(24)
def test_lapped_sheets_give_a_first_row_and_a_last_one_from_one_width(
    walls: list[float], begun: list[bool]
) -> None:
    """Each keeps its mill edge, and as many are paired as can be, counted by hand (12.2, 12.4)."""
    answer = answered(lapped(walls, begun[: len(walls)]))
    own = {row["id"]: row for row in answer["pieces"]}
    for row in answer["sheets"]:
        boxes = [ticks(box) for box in row["boxes"]]
        rests = [ticks(box) for box in (*row["kept"], *row["waste"])]
        lost = int(row["half_square_ticks"]["kerf"])
        assert sheet_faults(40 * INCH, SHEET, INCH // 8, boxes, rests, lost) == []
        for name, (_, across, _, wide) in zip(row["pieces"], boxes, strict=True):
            near = own[name]["rip"] == "near"  # there the far edge is the mill's
            assert across + wide == SHEET if near else across == 0
    firsts, lasts = ({name for name in own if own[name]["rip"] == rip} for rip in ("near", "far"))
    bought = sum(row["buy"] for row in answer["order"])
    sheet = {name: row["sheet"] for row in answer["sheets"] for name in row["pieces"]}
    told = [row["at"] for row in answer["findings"] if row["code"] == "corner-wrapped"]
    for at in told:
        number = int(at.partition(".")[0].removeprefix("w"))
        assert {sheet[name] for name in firsts if own[name]["surface"] == f"w{number}"} == {
            sheet[name] for name in lasts if own[name]["surface"] == f"w{number - 1}"
        }
    best = most_pairs(
        [own[name]["width"] for name in firsts], [own[name]["width"] for name in lasts]
    )
    assert bought == len(own) - best if not told else bought <= len(own) - len(told)


def ticks(box: list[float]) -> tuple[int, int, int, int]:
    """A box in whole ticks."""
    a, b, c, d = (round(side * INCH) for side in box)
    return a, b, c, d


def most_pairs(firsts: list[float], lasts: list[float]) -> int:
    """How many of each lie side by side in a sheet, the widest last one first."""
    left, found = sorted(firsts), 0
    for wide in sorted(lasts, reverse=True):
        if left and left[0] + 0.125 + wide <= 48.5:
            left.pop(0)
            found += 1
    return found
