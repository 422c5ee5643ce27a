"""Frames at edges, and boards that come after frames and corner boards: they end at them.

Worked by hand from common practice: a door has two legs and a head, siding butts its casing and the
corner boards. Lengths in inches.
"""

from __future__ import annotations

from typing import Any

import pytest
import shapely

from tests.independent import any_kind
from tests.independent.asked import placed_polygon
from tests.strategies.asking import answered
from tests.strategies.requests import board, job

Request = dict[str, Any]

WIDE, REVEAL, JOINT, CUT_OUT = 3.5, 1 / 8, 3 / 16, 1 / 8
THICK = 0.75
"""Face of a casing, its reveal, the joint that is asked for, and what a cut-out leaves unasked."""

TICKS, SNAPPED = 25.4 * 40_000, 40
"""Ticks of an inch, and how far snapping moves a corner."""

DOOR = {"id": "door", "rectangle": [60, 0, 32, 80]}
WINDOW = {"id": "window", "rectangle": [120, 40, 30, 36]}

CASING = {"id": "casing", "form": "moulding", "width": WIDE, "thickness": 0.75,
          "stock": [{"length": "8 ft"}, {"length": "12 ft"}]}  # fmt: skip


def wall(*layers: Request, openings: list[Request], wide: float = 200, high: float = 96) -> Request:
    """A wall of studs with layers of casing and boards."""
    area = {"id": "front", "type": "wall", "view": "facing", "rectangle": [wide, high],
            "supports": {"direction": 90, "spacing": 16},
            "openings": openings, "layers": list(layers)}  # fmt: skip
    return job(area, CASING, board({"length": "8 ft"}, {"length": "16 ft"}))


def frames(**more: Any) -> Request:
    return {"id": "casing", "kind": "trim", "product": "casing", "around": "openings", **more}


def boards(**more: Any) -> Request:
    return {"id": "boards", "kind": "boarding", "product": "pine", "direction": 0, **more}


def lengths(answer: Request, opening: str) -> list[tuple[float, float, list[str]]]:
    """Of the pieces of a frame: back edge, overall cut and what its ends meet."""
    return [(row["length"], row["cut"], row["meets"]) for row in answer["trim_lengths"]
            if row["opening"] == opening]  # fmt: skip


def test_a_door_has_two_legs_and_a_head() -> None:
    """80 in high: legs 80-1/8 in at the back and 83-5/8 at the long point, head 32-1/4 and 39-1/4.

    By the four-piece rule, b + 2v + 2w, less one reveal and one width at the floor (17.3).
    """
    answer = answered(wall(frames(), openings=[DOOR]))
    assert lengths(answer, "door") == [
        (80.125, 83.625, ["wall", "outside corner"]),
        (32.25, 39.25, ["outside corner", "outside corner"]),
        (80.125, 83.625, ["outside corner", "wall"]),
    ]
    assert "not-framed" not in {row["code"] for row in answer["findings"]}


def test_a_butted_head_runs_over_the_legs() -> None:
    """Legs b + v = 80-1/8 in, head a + 2v + 2w = 39-1/4 in, and no mitres (17.3)."""
    answer = answered(wall(frames(frame="butted"), openings=[DOOR]))
    assert [cut for _, cut, _ in lengths(answer, "door")] == [80.125, 39.25, 80.125]
    assert [row["work"] for row in answer["pieces"]] == [[], [], []]


@pytest.mark.parametrize(
    "opening",
    [
        {"id": "hole", "rectangle": [60, 0, 32, 96]},
        {"id": "hole", "rectangle": [0, 0, 32, 80]},
        {"id": "hole", "circle": [60, 0, 20]},
    ],
    ids=["from floor to ceiling", "in a corner", "round"],
)
def test_an_opening_without_three_sides_within_the_outline_has_none(opening: Request) -> None:
    answer = answered(wall(frames(), openings=[opening, WINDOW]))
    assert lengths(answer, "hole") == []
    assert len(lengths(answer, "window")) == 4
    (told,) = [row for row in answer["findings"] if row["code"] == "not-framed"]
    assert told["at"] == "front.hole"


def laid(answer: Request, layer: str) -> list[shapely.Geometry]:
    """What the pieces of a layer cover, in ticks."""
    return [placed_polygon(row, "in") for row in answer["pieces"] if row["layer"] == layer]


@pytest.mark.parametrize(
    ("wide", "high", "gap", "frame"),
    [(32, 80, JOINT, "mitred"), (32, 80, 0, "mitred"), (24, 71.5, None, "butted")],
)
def test_boards_end_at_the_casing_that_was_laid_before(
    wide: float, high: float, gap: float | None, frame: str
) -> None:
    """As near as the joint asked for, or as a cut-out leaves; never on it, nor in the opening."""
    door = [60, 0, wide, high]
    holes = [{"id": "door", "rectangle": door}, WINDOW]
    own = {} if gap is None else {"gap": gap}
    request = wall(frames(frame=frame, **own), boards(), openings=holes)
    answer = answered(request)
    assert any_kind.faults(request, answer) == []
    pieces = shapely.union_all(laid(answer, "boards"))
    joint = CUT_OUT if gap is None else gap
    apart = pieces.distance(shapely.union_all(laid(answer, "casing")))
    assert apart == pytest.approx(joint * TICKS, abs=SNAPPED)
    reach = REVEAL + WIDE + joint
    for x, y, a, b in (door, WINDOW["rectangle"]):
        corners = (x - reach, y - reach, x + a + reach, y + b + reach)
        around = shapely.box(*(corner * TICKS for corner in corners))
        assert pieces.intersection(around).area == pytest.approx(0, abs=TICKS * SNAPPED)


def test_trim_that_comes_after_boards_takes_nothing_from_them() -> None:
    """Boards first: they run to the cut-out, and the casing lies on them."""
    after = answered(wall(boards(), frames(), openings=[WINDOW]))
    plain = answered(wall(boards(), openings=[WINDOW]))
    assert [row for row in after["pieces"] if row["layer"] == "boards"] == plain["pieces"]


def apart(answer: Request, layer: str) -> float:
    """How far the boards lie from the trim of a layer, inches."""
    boarded, trimmed = (shapely.union_all(laid(answer, one)) for one in ("boards", layer))
    return float(boarded.distance(trimmed)) / TICKS


def test_further_frames_go_round_the_same_opening() -> None:
    """A band round the casing, 3-3/4 in off the opening, and a bead 1/8 in round that.

    Their upright pieces are 36 in and twice reveal and width: 36 + 7-1/2 + 7, 36 + 14-3/4 + 7.
    Boards end at the outermost, as near as at any cut-out.
    """
    band = frames(rules={"reveal": 3.75}) | {"id": "band"}
    bead = frames(rules={"reveal": 7.375}) | {"id": "bead"}
    answer = answered(wall(frames(), band, bead, boards(), openings=[WINDOW]))
    for layer, longest in (("band", 50.5), ("bead", 57.75)):
        own = [row["cut"] for row in answer["trim_lengths"] if row["layer"] == layer]
        assert (len(own), max(own)) == (4, longest)
    assert apart(answer, "bead") == pytest.approx(CUT_OUT, abs=1e-4)


@pytest.mark.parametrize(
    ("hole", "joint"), [({}, CUT_OUT), ({"cut_gap": 0.25}, 0.25), ({"clearance": 6}, 6.125 - 3.625)]
)
def test_a_cut_out_keeps_its_own_gap_and_clearance_round_a_frame(
    hole: Request, joint: float
) -> None:
    """Beyond 1/8 + 3-1/2 in of casing: the saw gap, 1/8 in or as sent; a clearance is kept to."""
    answer = answered(wall(frames(), boards(), openings=[WINDOW | hole]))
    assert apart(answer, "casing") == pytest.approx(joint, abs=1e-4)


def test_a_casing_leaves_what_frames_the_opening_and_has_cleats_for_the_ends_of_boards() -> None:
    """Studs at 16 in: round a door from 60 to 92 a casing ends at 56.375 and 95.625, boards 1/8 on.

    No stud stands near 56.25, the one at 96 carries the ends at 95.75: one cleat, as high as the
    door is cut, 80-1/8 in. At the window, 116.25 and 153.75 want one each, 36-1/4 in.
    """
    openings = [DOOR, WINDOW]
    last, first = (answered(wall(*layers, openings=openings))["backing"]
                   for layers in ((boards(), frames()), (frames(), boards())))  # fmt: skip
    assert [row for row in first if row["what"] != "cleat"] == last
    cleats = [(*row["from"], row["length"]) for row in first if row["what"] == "cleat"]
    assert cleats == [(56.25, 0, 80.125), (116.25, 39.875, 36.25), (153.75, 39.875, 36.25)]


def test_siding_ends_at_corner_boards_that_were_laid_before() -> None:
    """At the right edge, a joint of 3/16 in beside it: both boards take 3-1/2 - 3/4 of their walls.

    The one that laps lies 3/4 in beyond its wall, over the end of the other, which is narrower.
    """
    for how, out in (("lapping", THICK), ("butting", 0)):
        corner = {"id": "corner", "kind": "trim", "product": "casing", "edges": [1],
                  "board": how, "gap": JOINT}  # fmt: skip
        answer = answered(wall(corner, boards(), openings=[]))
        siding, own = (shapely.union_all(laid(answer, name)) for name in ("boards", "corner"))
        edge = 200 - (WIDE - THICK)
        assert siding.bounds[2] == pytest.approx((edge - JOINT) * TICKS, abs=SNAPPED)
        assert (own.bounds[0], own.bounds[2]) == pytest.approx(
            (edge * TICKS, (200 + out) * TICKS), abs=SNAPPED
        )
