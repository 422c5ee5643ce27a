"""Ends that hang, members that openings cross and holes under sheets are said (18.2, 5.7)."""

from __future__ import annotations

from typing import Any

import pytest
from hypothesis import assume, given
from hypothesis import strategies as st

from tests.independent import hanging
from tests.independent.asked import laid
from tests.independent.json_patch import patched
from tests.independent.measure import INCH, ticks
from tests.property.test_mirror_and_units import member_positions
from tests.strategies import jobs, requests, shapes, transforms
from tests.strategies.asking import answered
from tests.strategies.budget import FEW, LAW

Request = dict[str, Any]

GIVE = INCH // 200
"""Printed digits and floats: an end this near to the limit may count either way."""


def said(answer: Request, code: str, at: str | None = None) -> list[Request]:
    return [row for row in answer["findings"] if row["code"] == code and at in (None, row["at"])]


def count(answer: Request, code: str, at: str | None = None) -> int:
    """How many ends the findings of a code count."""
    return sum(int(row["text"].split()[0]) for row in said(answer, code, at))


@LAW
@given(request=jobs.jobs(), limit=st.sampled_from([None, 0.5, 8]), panel=st.booleans())
def test_every_end_that_hangs_is_counted(
    request: Request, limit: float | None, panel: bool
) -> None:
    """From pieces and members alone; over a panel it is a note without a cure."""
    if limit is not None:
        request |= {"rules": {"hanging_end": limit}}
    for area in request["surfaces"] if panel else ():
        area["backing"] = {"thickness": 0.5}
    code, other = ("ends-on-panel", "ends-hang")[:: 1 if panel else -1]
    answer = answered(requests.framed(request))
    assert not said(answer, other)
    most = INCH * 4 if limit is None else ticks(limit, "in")
    for layer in laid(request, answer):
        by = hanging.beyond(layer, answer)
        assume(all(abs(one - most) > GIVE for one in by))
        over = [one for one in by if one > most]
        place = ".".join(layer.key)
        assert count(answer, code, place) == len(over)
        for row in said(answer, code, place):
            assert row["measure"] == pytest.approx(max(over) / INCH, abs=1e-3)
            assert row["limit"] == most / INCH
            assert not (panel and row["cure"])


@FEW
@given(request=st.one_of(jobs.rectangular(), jobs.with_openings(), jobs.ringed()))
def test_a_plan_has_the_same_ends_and_members(request: Request) -> None:
    """Mirrored: as many ends hang, and each opening crosses as many members."""
    request = requests.framed(request)
    plan = transforms.mirrored_in_plan(request, member_positions)
    one, other = answered(request), answered(plan)
    assert count(one, "ends-hang") == count(other, "ends-hang")
    numbers = [[row["text"].split()[3] for row in said(each, "members-crossed")]
               for each in (one, other)]  # fmt: skip
    assert numbers[0] == numbers[1]


@FEW
@given(request=jobs.rectangular())
def test_members_against_the_walls_carry_what_hangs_there(request: Request) -> None:
    """In a room without openings the cure is there, and nothing hangs after it."""
    request = requests.framed(request)
    answer = answered(request)
    for row in said(answer, "ends-hang"):
        request = patched(request, row["cure"])
        assert not said(answered(request), "ends-hang")


def test_positions_sent_one_by_one_have_no_such_cure() -> None:
    """`ends` goes with a spacing only: the finding says what to build."""
    behind = {"direction": 90, "at": [20, 36, 52, 68, 84, 100]}
    room = requests.room(120, 30, behind=behind)
    answer = answered(requests.framed(requests.job(room, requests.board("12 ft"))))
    (row,) = said(answer, "ends-hang")
    assert row["cure"] is None
    assert row["text"].startswith("12 board ends")
    assert row["measure"] == 20 - 0.75 - 0.5


@LAW
@given(request=st.one_of(jobs.with_openings(), jobs.ringed()))
def test_members_in_openings_are_named(request: Request) -> None:
    """Each opening with the number of members that stand in it; none where none does (5.7)."""
    answer = answered(request)
    (layer,) = laid(request, answer)
    for opening in request["surfaces"][0]["openings"]:
        found = hanging.crossed(layer, opening["id"])
        rows = said(answer, "members-crossed", f"{layer.key[0]}.{opening['id']}")
        stated = [int(row["text"].split()[3]) for row in rows]
        assert stated == ([len(found)] if found else [])


@FEW
@given(x=shapes.inches(20, 90), wide=shapes.inches(4, 60))
def test_a_trimmer_flush_with_an_opening_is_not_crossed(x: float, wide: float) -> None:
    """Members 1-1/2 in thick whose faces are the sides of the hole (5.7)."""
    hole = {"id": "hatch", "rectangle": [x, 5, wide, 20]}
    behind = {"direction": 90, "at": [x - 0.75, x + wide + 0.75]}
    answer = answered(requests.job(requests.room(180, 40, behind=behind, openings=[hole]),
                                   requests.board("16 ft"), when_blocked="relax"))  # fmt: skip
    assert not said(answer, "members-crossed")


def test_crossed_members_are_named_by_number_and_place() -> None:
    """A hole from 40 to 78 in over members at 16, 32, 48, 64, 80: the third and the fourth."""
    hole = {"id": "hatch", "rectangle": [40, 10, 38, 20]}
    answer = answered(requests.job(requests.room(180, 60, openings=[hole])))
    (row,) = said(answer, "members-crossed")
    assert row["at"] == "loft.hatch"
    for words in ("no. 3 at 4' 0\"", "no. 4 at 5' 4\"", "headers", "trimmers"):
        assert words in row["text"]
    assert "no. 2" not in row["text"]
    assert "no. 5" not in row["text"]


SHEET = {"id": "sheet", "form": "sheet", "width": 48, "thickness": 0.75,
         "stock": [{"length": 96}]}  # fmt: skip


@pytest.mark.parametrize(("kind", "covered"), [("floor", True), ("deck", True), ("ceiling", False)])
def test_holes_under_the_sheets_of_a_floor_are_listed(kind: str, covered: bool) -> None:
    """Each opening that sheets lie over until it is cut: a fall (5.7)."""
    holes = [{"id": "well", "rectangle": [40, 10, 38, 60]},
             {"id": "pipe", "circle": [150, 50, 6]}]  # fmt: skip
    area = requests.room(192, 96, type=kind, openings=holes)
    area["layers"] = [{"kind": "sheathing", "product": "sheet"}]
    answer = answered(requests.job(area, SHEET))
    found = {row["at"] for row in said(answer, "hole-covered")}
    assert found == ({"loft.well", "loft.pipe"} if covered else set())
    assert all("guard" in row["text"] for row in said(answer, "hole-covered"))


def test_boards_alone_cover_no_hole() -> None:
    hole = {"id": "well", "rectangle": [40, 10, 38, 40]}
    area = requests.room(180, 60, type="floor", openings=[hole])
    assert not said(answered(requests.job(area)), "hole-covered")
