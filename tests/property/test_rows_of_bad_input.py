"""Every row of what is refused, and of what is legal but worth a word, provoked for each layer.

One table: the row, a request that provokes it, the code that it is told, where, and the cure, which
is a patch of the request or stands in the words. That patches cure is tried in `test_cures.py`.
The rows are common practice; they are listed once more, so that none is lost from the table. Every
code that any answer may carry is provoked by `test_each_code.py`.
"""

from __future__ import annotations

import json
from typing import Any, NamedTuple

import pytest

from tests.strategies import trim
from tests.strategies.ailing import (
    AILING,
    ALONG,
    BEAMS,
    LAYER,
    NAIL,
    PANELS,
    STRAPS,
    WRAP,
    Request,
    boards,
    but,
)
from tests.strategies.asking import answered, asked
from tests.strategies.requests import board, job, outline, room, supports, surface

PATCH = ""
"""The cure is a patch of the request."""


class Case(NamedTuple):
    """A request, what it is told, at which place, and words of its cure."""

    request: Request
    code: str
    at: str
    cure: str


def ailing(code: str, at: str) -> Case:
    """One of those that have a patch for a cure."""
    return Case(AILING[code], code, at, PATCH)


def in_room(*products: Request, **more: Any) -> Request:
    """Eight courses across members."""
    return job(room(180, 40, **more), *products)


def relaxed(code: str) -> Request:
    """One of the refused, from a caller who lets rules give way."""
    return but(AILING[code], ("/when_blocked", "relax"))


RING = [[0, 0], [300, 0], [300, 60], [0, 60]]
SHEETS_OF_ALL = [{"id": "all", "rectangle": [0, 0, 240, 144]}]
HATCHES = [{"id": f"o{k}", "rectangle": [16 * k + 2, 30, 12, 12]} for k in range(1, 14)]
STUB = {"id": "stud", "form": "lumber", "width": 3.5, "thickness": 1.5,
        "stock": [{"length": "1 ft"}]}  # fmt: skip
HATCH = {"id": "hatch", "rectangle": [60, 10, 40, 16]}
SHORT = {"id": "shaft", "rectangle": [2.5, 10, 60, 20], "cut_gap": 0}

SWOLLEN = job(
    room(180, 122, view="facing"), board("16 ft"), rules={"backing": "none"},
    moisture={
        "air": [{"id": "porch", "mc": 16}], "framing": [{"mc": 8}],
        "boards": [{"product": "pine", "species": "eastern_white_pine", "mc": 8}],
    },
)  # fmt: skip
"""A porch whose boards come to twice the moisture: 5-1/8 x 0.00212 x 8 = 0.087 in each."""

REFUSED: dict[str, list[Case]] = {
    "bad geometry": [
        Case(job(outline([[0, 0], [100, 0], [20, 60], [90, 70]])), "crosses-itself",
             "/surfaces/0/outline", "give its corners in order, once round"),
        Case(job(outline([[0, 0], [100, 0], [200, 0]])), "no-area", "/surfaces/0/outline",
             "check its corners"),
        Case(job(surface({"sides": [100] * 4, "diagonals": [250]})), "impossible-triangle",
             "/surfaces/0/diagonals/0", "measure them again"),
        Case(in_room(behind=supports(2)), "spacing-odd", "/surfaces/0/supports/spacing",
             'must be from 3" to 5\' 0"'),
        Case(in_room(openings=[{"id": "all", "rectangle": [0, 0, 180, 40]}]), "nothing-left",
             LAYER, "check their sizes"),
        ailing("nothing-left", "/surfaces/0/edges/0/gap"),
        Case(but(WRAP, ("/surfaces/0/openings", SHEETS_OF_ALL)), "nothing-left", LAYER,
             "check their sizes"),
        Case(but(PANELS, (f"{LAYER}/rules", {"panel_wall_gap": 80})), "nothing-left", LAYER,
             "lower `panel_wall_gap`"),
        ailing("no-bay", f"{LAYER}/sets/0/count"),
        ailing("beams-not-square", f"{LAYER}/sets/1/direction"),
        ailing("straps-along-members", f"{LAYER}/direction"),
        ailing("flange-wide", "/products/0/flange"),
        ailing("strip-beyond-surface", f"{LAYER}/from_edge"),
    ],
    "no coverage": [
        Case(in_room({k: v for k, v in board("8 ft").items() if k != "coverage"}), "coverage",
             "/products/0", "give `coverage`, or `tongue`"),
        ailing("roll-too-narrow", "/products/0/width"),
    ],
    "no stock length reaches": [
        Case(job(room(300, 40, behind=supports(60)), board("4 ft")), "joints-blocked", LAYER,
             PATCH),
        Case(in_room(board("4 in"), rules={"end_trim": 2}), "stock-too-short",
             "/products/0/stock", "left after its end trims"),
        Case(in_room(board({"length": "16 ft", "on_hand": 3})), "stock-short",
             "/products/0/stock/0/on_hand", PATCH),
        ailing("sheets-blocked", LAYER),
        ailing("roll-too-short", "/products/0/stock/0/length"),
        Case(but(STRAPS, ("/products/0/stock", [{"length": "1 ft"}])), "strap-too-short",
             "/products/0/stock", "as from one member to the next but one"),
        Case(trim.round_room(RING, trim.moulding("2 ft")), "piece-too-long",
             "/products/0/stock", "a longer one is needed"),
        ailing("beam-joints-blocked", "/products/0/stock"),
    ],
    "a run over all stock, no joint allowed": [
        Case(job(room(300, 40, layer={"joints": "none"})), "joints-blocked", LAYER, PATCH),
    ],
    "an opening outside": [
        Case(in_room(openings=[{"id": "h", "rectangle": [200, 0, 10, 10]}]), "opening-outside",
             "/surfaces/0/openings/0", "check its position"),
        Case(in_room(openings=[{"id": "h", "rectangle": [20, 10, 0, 10]}]), "length",
             "/surfaces/0/openings/0/rectangle/2", "must be over zero"),
    ],
    "a pattern without its tongue or lap": [
        ailing("no-tongue", f"{LAYER}/fastening/pattern"),
        ailing("no-lap", f"{LAYER}/fastening/pattern"),
    ],
    "no nail long enough, strict": [ailing("fastener-short", "/products/1/lengths")],
}  # fmt: skip
"""Row -> what is refused, at which pointer of the request."""

TOLD: dict[str, list[Case]] = {
    "a rip under the preferred": [ailing("rip-small", "loft.boards")],
    "a sliver": [
        Case(relaxed("rip-too-small"), "rip-small", "loft.boards", PATCH),
        Case(job(outline([[0, 0], [180, 0], [0, 40]])), "end-narrow", "loft.boards.8.1",
             "cannot be nailed there"),
    ],
    "a fragile leg": [
        ailing("leg-frail", "loft.boards.10"),
        Case(but(STRAPS, ("/surfaces/0/openings", [{"id": "box", "rectangle": [70, 22, 2, 3]}])),
             "leg-unbacked", "wall.boards", "set a block behind each"),
        Case(AILING["leg-frail"], "hole-long", "loft.boards.10", 'over 12" the board is frail'),
    ],
    "a hole on a joint line": [ailing("hole-on-joint", "loft.lamp")],
    "a joint near a corner": [
        Case(in_room(board("8 ft", "10 ft"), openings=[{"id": "h", "rectangle": [82, 12, 16, 16]}],
                     rules={"joint_from_hole": 90, "joint_cost": 0}), "joint-near-hole",
             "loft.boards", "no layout was found that keeps further off"),
        Case(but(PANELS, ("/surfaces/0/openings", HATCHES)), "joint-near-corner", "loft.panels",
             "no other joints keep the stagger"),
        ailing("seam-near-corner", "loft.panels"),
    ],
    "a staircase": [
        Case(relaxed("joints-blocked"), "staircase", "loft.boards", "nothing is wrong"),
    ],
    "panel drift": [ailing("sheets-trimmed", "loft.panels")],
    "no backing at an edge": [
        ailing("ends-hang", "loft.boards"),
        ailing("edges-unsupported", "loft.panels"),
        Case(in_room(), "backing-not-ordered", "loft", "no `nailers` are named"),
        Case(job(room(180, 40, openings=[HATCH]), board("16 ft"), STUB, nailers="stud"),
             "backing-too-long", "loft", "add a longer one to its `stock`"),
        Case(in_room(behind=ALONG, backing={"thickness": 0.5}), "held-by-panel", "loft.boards",
             "Use ring shanks or screws"),
    ],
    "a gap under the movement": [
        Case(but(SWOLLEN, ("/surfaces/0/rules", {"gap": 0.25})), "gap-below-movement",
             "loft.boards", 'must be 9/16"'),
        Case(SWOLLEN, "gap-for-moisture", "loft.boards", "see that the moulding covers it"),
        Case(SWOLLEN, "spacer-for-moisture", "loft.boards", 'with spacers of 1/16"'),
        Case(but(SWOLLEN, (f"{LAYER}/spacer", 0.03125)), "swells-beyond-joint", "loft.boards",
             'lay them with spacers of 1/16"'),
        Case(but(SWOLLEN, ("/moisture/air/0/mc", 4)), "joint-opens", "loft.boards",
             "finish the tongues before they go up"),
    ],
    "moisture too far apart": [
        Case(but(SWOLLEN, ("/moisture/framing", [{"mc": 15}])), "boards-wait", "loft.boards",
             "do not install yet"),
        Case(but(SWOLLEN, ("/moisture/air/0/mc", 8)), "moisture-not-known", "loft.boards",
             "Read the boards twice"),
        Case(SWOLLEN, "moves-beyond-range", "loft.boards", "is an estimate"),
    ],
    "a smooth nail in a panel": [
        Case(in_room(board("16 ft"), NAIL | {"lengths": [2]}, behind=ALONG,
                     backing={"thickness": 0.5}, layer={"fastening": {"product": "nail"}}),
             "smooth-nail-in-panel", "loft.boards", "use ring shanks or screws"),
    ],
    "a last course that drops in": [
        Case(in_room(rules={"gap": 0.25}), "last-course-drop-in", "loft.boards.8",
             "cut off the back lip of its groove"),
    ],
    "a taper": [
        Case(job(outline([[0, 0], [180, 0], [180, 42], [0, 40]])), "taper", "loft.boards",
             "each side takes half"),
    ],
    "a feature off centre": [
        ailing("feature-missed", "loft.boards"),
        Case(boards(40, aim=[{"at": 10, "on": "joint"}, {"at": 27, "on": "joint"}]),
             "feature-missed", "loft.boards", "leave out the mark that matters least"),
        Case(boards(40, aim=[{"at": 80, "on": "joint"}]), "feature-missed", "loft.boards",
             "check the mark's station"),
    ],
    "a short rest": [
        Case(job(room(60, 41.5), board("12 ft"), rules={"keep_offcut": 40}), "offcuts-short",
             "pine", "a lower `keep_offcut` keeps them"),
        Case(in_room(openings=[SHORT]), "run-dropped", "loft.boards", "the trim covers it"),
        Case(trim.round_room([[0, 0], [100, 0], [100, 60], [60, 60], [60, 62], [57, 62], [57, 60],
                              [0, 60]]), "mitres-cross", "loft.cove.5", "a narrower moulding"),
    ],
    "a value that was assumed": [
        Case(in_room(), "view-not-sent", "loft", "send `view`: plan"),
        Case(in_room(), "gap-uncovered", "loft.boards", "a layer of the kind `trim`"),
        Case(in_room(), "no-cull", "pine", "add a `cull`"),
        Case(in_room(), "no-spare", "pine", "set `spare`"),
        Case(job(surface({"sides": [144, 60, 144, 60], "diagonals": [156, 158]})),
             "diagonal-misfit", "loft", "measure sides and diagonals again"),
    ],
    "beams, straps, wrap and strips": [
        ailing("strap-narrow", "wall.straps"),
        ailing("lap-short", "wall.wrap"),
        ailing("laps-against-water", "wall.wrap"),
        Case(but(BEAMS, ("/surfaces/0/openings", [{"id": "hatch", "rectangle": [20, 50, 24, 30]}])),
             "beam-crosses-opening", "den.box_beams", "move the one or the other"),
    ],
}  # fmt: skip
"""Row -> what is answered with a finding, at which place of the answer."""


GAVE_WAY = {
    "a stagger that gave way": ("joints-blocked", "stagger", "6.5"),
    "a rip that gave way": ("rip-too-small", "min_rip", "3.9"),
    "a nail's bite that gave way": ("fastener-short", "length", "18.11"),
}
"""Row -> the code by which it is refused with its cure, and the rule that is told to give way."""

EVERY_ROW = (
    "bad geometry", "no coverage", "no stock length reaches",
    "a run over all stock, no joint allowed", "an opening outside",
    "a pattern without its tongue or lap", "no nail long enough, strict",
    "a rip under the preferred", "a sliver", "a fragile leg", "a hole on a joint line",
    "a joint near a corner", "a staircase", "panel drift",
    "no backing at an edge", "a gap under the movement", "moisture too far apart",
    "a smooth nail in a panel", "a last course that drops in", "a taper",
    "a feature off centre", "a short rest", "a value that was assumed",
    "beams, straps, wrap and strips", "a stagger that gave way", "a rip that gave way",
    "a nail's bite that gave way",
)  # fmt: skip
"""What is refused, what is told, and which rules give way where that is allowed.

Each in the order in which a foreman would ask.
"""


def test_no_row_is_lost_from_the_table() -> None:
    assert (*REFUSED, *TOLD, *GAVE_WAY) == EVERY_ROW
    assert all(own for own in (*REFUSED.values(), *TOLD.values()))


def rows(table: dict[str, list[Case]]) -> list[Any]:
    """Each case, named by its row and its code."""
    return [
        pytest.param(case, id=f"{row}: {case.code}") for row, own in table.items() for case in own
    ]


@pytest.mark.parametrize("case", rows(REFUSED))
def test_what_cannot_be_built_is_refused_with_its_cure(case: Case) -> None:
    """The field is named by its pointer."""
    found = asked(case.request)
    assert found.kind != "answer"
    faults = json.loads(found.body)["faults"]
    own = [row for row in faults if (row["code"], row["pointer"]) == (case.code, case.at)]
    assert own, faults
    names_its_cure(own[0], own[0]["detail"], case)


@pytest.mark.parametrize("case", rows(TOLD))
def test_what_is_legal_but_odd_is_told_with_its_cure(case: Case) -> None:
    """The place is that of the thing in the answer."""
    findings = answered(case.request)["findings"]
    own = [row for row in findings if (row["code"], row["at"]) == (case.code, case.at)]
    assert own, [row for row in findings if row["code"] == case.code]
    names_its_cure(own[0], own[0]["text"], case)


def names_its_cure(row: Request, text: str, case: Case) -> None:
    """As a patch, or in words."""
    assert row.get("cure") if case.cure == PATCH else case.cure in text, row


@pytest.mark.parametrize("row", GAVE_WAY)
def test_a_rule_that_gave_way_is_told_and_refused_to_who_is_strict(row: str) -> None:
    """What was asked, what was used, and where: stagger, rip, nail; never quietly."""
    code, key, rule = GAVE_WAY[row]
    (gave,) = answered(relaxed(code))["relaxed"]
    assert (gave["key"], gave["rule"], gave["places"]) == (key, rule, ["loft.boards"])
    assert gave["asked"] > gave["used"] > 0
    strict = asked(but(AILING[code], ("/when_blocked", "refuse")))
    (fault,) = json.loads(strict.body)["faults"]
    assert fault["code"] == code
    assert fault["cure"]


def test_a_rest_too_short_to_keep_is_booked_as_scrap() -> None:
    """Two runs of 60 in less gaps from each 12 ft stick: a rest of 144 - 2 x 59 - 2 x 1/8 in."""
    request = job(room(60, 41.5), board("12 ft"), rules={"keep_offcut": 48})
    answer = answered(request)
    scrap = sum(float(row["area"]) for row in answer["ledger"] if row["account"] == "short_offcut")
    rests = [stick["offcut"] for stick in answer["sticks"] if not stick["kept"]]
    assert scrap == pytest.approx(sum(rests) * 5.375 / 144, abs=1e-3)
    assert max(rests) < 48


def test_what_is_not_computed_is_said_in_every_answer() -> None:
    """Whether it holds is a designer's, whatever was asked (22.4)."""
    told = " ".join(answered(in_room())["not_computed"])
    assert all(word in told for word in ("loads", "fire", "electrical", "code"))
