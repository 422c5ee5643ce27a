"""How flat members lie, and their shims, against another library's straight lines (1.5, 14.4)."""

from __future__ import annotations

from itertools import combinations
from typing import Any

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from service.geometry.flatness import Flatness, Reading
from tests.strategies.asking import Request, answered, refused
from tests.strategies.budget import FEW, examples

MANY = examples(60)
STATIONS = {1: 0, 2: 160, 3: 330, 4: 480}

READINGS = st.dictionaries(
    st.tuples(st.integers(1, 4), st.integers(0, 6).map(lambda k: 50 * k)), st.integers(-40, 40),
    min_size=1, max_size=16,
).map(lambda found: tuple(sorted(Reading(*at, dip) for at, dip in found.items())))  # fmt: skip


def flat(readings: tuple[Reading, ...], shim: int = 1, off: int = 0) -> Flatness:
    return Flatness(readings, STATIONS, shim, 200, off)


def line_of(readings: tuple[Reading, ...], member: int, at: int) -> float:
    own = [one for one in readings if one.member == member]
    return float(np.interp(at, [one.at for one in own], [one.dip for one in own]))


@MANY
@given(readings=READINGS, at=st.integers(-20, 330), member=st.integers(1, 4))
def test_between_readings_members_are_straight(
    readings: tuple[Reading, ...], at: int, member: int
) -> None:
    """Along a member, and across those beside one that was not read; level beyond the last."""
    read = sorted({one.member for one in readings})
    if member in read:
        expected = line_of(readings, member, at)
    else:
        expected = float(np.interp(
            STATIONS[member], [STATIONS[one] for one in read],
            [line_of(readings, one, at) for one in read],
        ))  # fmt: skip
    assert flat(readings).dip_at(member, at) == pytest.approx(expected, abs=2)


@MANY
@given(readings=READINGS, off=st.integers(0, 30))
def test_what_is_uneven_lies_off_a_line_between_two_others(
    readings: tuple[Reading, ...], off: int
) -> None:
    """Every three readings of a member, and of a mark across members, within the straightedge."""
    lines: dict[Any, list[tuple[int, Reading]]] = {}
    for one in readings:
        lines.setdefault(("along", one.member), []).append((one.at, one))
        lines.setdefault(("across", one.at), []).append((STATIONS[one.member], one))
    worst: dict[Reading, float] = {}
    for line in lines.values():
        for three in combinations(sorted(line, key=lambda row: row[0]), 3):
            (a, one), (b, mid), (c, two) = three
            if c - a <= 200:
                straight = np.interp(b, [a, c], [one.dip, two.dip])
                worst[mid] = max(worst.get(mid, 0), abs(mid.dip - float(straight)))
    found = {one.reading: one.off for one in flat(readings, off=off).uneven()}
    assert all(found.get(one, 0) == pytest.approx(by, abs=0.5) or by <= off + 0.5
               for one, by in worst.items())  # fmt: skip
    assert all(worst[one] > off - 0.5 for one in found)


@MANY
@given(readings=READINGS, moved=st.integers(-30, 30), shim=st.integers(1, 9))
def test_the_height_of_the_string_changes_no_shim(
    readings: tuple[Reading, ...], moved: int, shim: int
) -> None:
    """Shims are never under none, are whole shims, and the lowest reading has none."""
    one = flat(readings, shim)
    other = flat(tuple(Reading(r.member, r.at, r.dip + moved) for r in readings), shim)
    thick = [one.shim_for(r.dip) for r in readings]
    assert thick == [other.shim_for(r.dip + moved) for r in readings]
    assert min(thick) == 0
    assert all(value % shim == 0 for value in thick)
    assert max(thick) == one.thickest


def strapped(readings: list[tuple[int, float, float]], **flatness: Any) -> Request:
    """A ceiling with joists along it at 16, 32 ... 80 in, straps across them, and readings."""
    return {
        "unit": "in",
        "surfaces": [{
            "id": "den", "view": "facing", "rectangle": [200, 96],
            "supports": {"direction": 0, "first": 16, "spacing": 16},
            "flatness": {
                "readings": [{"member": n, "at": at, "dip": dip} for n, at, dip in readings],
            } | flatness,
            "layers": [{"kind": "strapping", "product": "lath"}],
        }],
        "products": [{"id": "lath", "form": "lumber", "width": 2.5, "thickness": 0.75,
                      "stock": [{"length": 96}]}],
    }  # fmt: skip


@FEW
@given(dips=st.lists(st.integers(0, 12), min_size=15, max_size=15))
def test_every_crossing_is_shimmed_by_the_line_between_its_readings(dips: list[int]) -> None:
    """Five joists, three marks each: pairs to the plane of the lowest, within 1/32 in of it."""
    marks = (0, 100, 200)
    readings = [(k // 3 + 1, marks[k % 3], dip / 16) for k, dip in enumerate(dips)]
    found = answered(strapped(readings))
    lines = {row["course"]: (row["near"] + row["far"]) / 2 for row in found["courses"]}
    shims = {(row["member"], row["strap"]): row for row in found["shims"]}
    assert {row["strap"] for row in found["shims"]} <= set(lines)
    for member in range(1, 6):
        own = [dip for n, _, dip in readings if n == member]
        for strap, at in lines.items():
            level = float(np.interp(at, marks, own)) - min(dips) / 16
            row = shims.get((member, strap))
            thick = 0 if row is None else row["shim"]
            assert abs(thick - level) <= 1 / 32 + 1e-6
            if row is not None:
                assert row["at"] == pytest.approx([at, 16 * member], abs=1e-4)
                assert row["along"] == pytest.approx(at, abs=1e-4)


def test_uneven_framing_is_told_with_its_worst_place() -> None:
    """5/16 in up in the middle of 6 ft of the third joist, where 1/8 in is allowed."""
    found = answered(strapped([(3, 40, 0), (3, 76, 0.3125), (3, 112, 0), (1, 40, 0.75)]))
    told = {row["code"]: row for row in found["findings"]}
    assert told["framing-uneven"]["measure"] == 0.3125
    assert "joist 3" in told["framing-uneven"]["text"]
    assert told["shims-thick"]["measure"] == 0.75
    assert "2, 4, 5" in told["members-not-read"]["text"]


def test_readings_that_cannot_be_are_refused_each_by_its_place() -> None:
    _, faults = refused(strapped([(9, 0, 0), (1, 0, 0.25), (1, 0, 0.5)]))
    assert [(fault["code"], fault["pointer"]) for fault in faults] == [
        ("no-such-member", "/surfaces/0/flatness/readings/0/member"),
        ("read-twice", "/surfaces/0/flatness/readings/2/at"),
    ]


def test_without_straps_shims_go_where_it_was_read() -> None:
    request = strapped([(1, 0, 0), (1, 100, 0.25), (3, 50, 0.125)], shim=0.125)
    request["surfaces"][0]["layers"] = [{"kind": "boarding", "product": "pine", "direction": 90}]
    request["products"] = [{
        "id": "pine", "form": "board", "profile": "tongue_and_groove", "overall": 5.375,
        "coverage": 5.125, "thickness": 0.75, "stock": [{"length": 96}],
    }]  # fmt: skip
    found = answered(request)
    rows = [(row["member"], row["along"], row["shim"], row["strap"]) for row in found["shims"]]
    assert rows == [(1, 100, 0.25, None), (3, 50, 0.125, None)]


@FEW
@given(
    length=st.integers(60, 200), depth=st.integers(40, 120), past=st.integers(0, 40),
    upright=st.booleans(),
)  # fmt: skip
def test_a_reading_beyond_the_end_of_its_member_is_refused(
    length: int, depth: int, past: int, upright: bool
) -> None:
    """To its end it is taken, and beyond it refused with how long the member is (1.5)."""
    reach = depth if upright else length
    reading = {"member": 1, "at": reach + past, "dip": 0.25}
    area = {"id": "loft", "view": "facing", "rectangle": [length, depth],
            "supports": {"direction": 90 if upright else 0, "spacing": 16, "first": 8},
            "flatness": {"readings": [reading]},
            "layers": [{"kind": "boarding", "product": "pine", "joints": "anywhere",
                        "direction": 0 if upright else 90}]}  # fmt: skip
    pine = {"id": "pine", "form": "board", "profile": "square_edge", "overall": 5.5,
            "thickness": 0.75, "stock": [{"length": "12 ft"}]}  # fmt: skip
    request = {"unit": "in", "surfaces": [area], "products": [pine]}
    if not past:
        answered(request)
        return
    kind, (fault, *_) = refused(request)
    assert (kind, fault["code"], fault["pointer"]) == (
        "TradeRefused", "read-beyond-member", "/surfaces/0/flatness/readings/0/at",
    )  # fmt: skip
    assert fault["limit"] == pytest.approx(reach, abs=1 / 32)
