"""Laws of wood and moisture, and of what is answered about it alone."""

from __future__ import annotations

import copy
import json
from fractions import Fraction
from pathlib import Path
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from service.compute import CSV, TEXT, Picked, answer
from service.moisture.air import Air
from service.moisture.equilibrium import equilibrium
from service.moisture.movement import movement
from tests.strategies.asking import answered, body_of, refused
from tests.strategies.budget import LAW, examples

Request = dict[str, Any]
OPERATION = "moisture"
FOLDER = Path(__file__).parents[2] / "openapi" / "examples" / "moisture"
FULL: Request = json.loads((FOLDER / "full.json").read_bytes())
SMALL: Request = json.loads((FOLDER / "small.json").read_bytes())

content = st.fractions(0, 30, max_denominator=64)
width = st.fractions(1, 500, max_denominator=64)
each = st.fractions(Fraction(1, 2000), Fraction(1, 200), max_denominator=100_000)


@examples(60)
@given(wide=width, other=width, coefficient=each, first=content, last=content)
def test_movement_is_zero_at_rest_odd_and_adds(
    wide: Fraction, other: Fraction, coefficient: Fraction, first: Fraction, last: Fraction
) -> None:
    moved = movement(wide, coefficient, first, last)
    assert movement(wide, coefficient, first, first) == 0
    assert movement(wide, coefficient, last, first) == -moved
    both = movement(wide + other, coefficient, first, last)
    assert both == moved + movement(other, coefficient, first, last)


@examples(60)
@given(
    warm=st.fractions(5, 60, max_denominator=8),
    warmer=st.fractions(0, 20, max_denominator=8),
    damp=st.fractions(0, 1, max_denominator=64),
    damper=st.fractions(Fraction(1, 64), 1, max_denominator=64),
)
def test_damper_air_brings_wood_to_more_and_warmer_to_less(
    warm: Fraction, warmer: Fraction, damp: Fraction, damper: Fraction
) -> None:
    """And air without any water to nothing."""
    now = equilibrium(Air(warm, damp))
    assert equilibrium(Air(warm, Fraction(0))) == 0
    assert equilibrium(Air(warm, min(Fraction(1), damp + damper))) >= now
    assert equilibrium(Air(warm + warmer, damp)) <= now


@st.composite
def asked_of(draw: st.DrawFn) -> Request:
    """Boards by one figure, in one to three airs."""
    percents = st.integers(4, 20)
    airs = draw(st.lists(percents, min_size=1, max_size=3))
    return {
        "unit": "in",
        "air": [{"id": f"air{k}", "mc": one} for k, one in enumerate(airs)],
        "boards": {
            "species": draw(st.sampled_from(["ponderosa_pine", "red_oak", "western_redcedar"])),
            "grain": draw(st.sampled_from(["flat", "edge"])),
            "coverage": draw(st.sampled_from([2.25, 3.125, 5.125, 7])),
            "over": draw(st.sampled_from([96, 121, 240])),
            "tongue": 0.25,
            "mc": draw(percents),
        },
        "framing": {"mc": draw(percents)},
    }


@LAW
@given(request=asked_of())
def test_spacers_and_gaps_take_what_the_boards_do(request: Request) -> None:
    """A board that swells has its joint: the spacer and the slack; a wall its share of all."""
    told = answered(request, OPERATION)["summary"]
    slack = 1 / 32
    assert told["swells"] <= told["spacer"] + slack + 1e-6
    assert told["spacer"] == 0 or told["swells"] > told["spacer"] - slack + slack - 1 / 32
    assert told["gap"] >= max(told["swells_over_all"], told["shrinks_over_all"]) / 4 - 1e-6
    assert (told["gap"] * 16) % 1 == 0


@LAW
@given(request=asked_of())
def test_boards_go_up_only_where_all_is_met_that_they_wait_for(request: Request) -> None:
    """And never on one figure: whether they are at rest is read twice."""
    told = answered(request, OPERATION)
    waiting = [row["result"] for row in told["checks"] if row["holds_up"]]
    assert "not_checkable" in waiting
    assert told["summary"]["verdict"] == ("hold" if "not_met" in waiting else "read_again")


@LAW
@given(request=asked_of())
def test_millimetres_are_inches(request: Request) -> None:
    other = copy.deepcopy(request) | {"unit": "mm"}
    for key in ("coverage", "over", "tongue"):
        other["boards"][key] = f"{request['boards'][key]} in"
    other["rules"] = {"spacer_step": "1/32 in", "gap_step": "1/16 in"}
    inch, metric = (answered(one, OPERATION)["summary"] for one in (request, other))
    assert metric["verdict"] == inch["verdict"]
    for name in ("swells", "shrinks_over_all", "spacer", "gap"):
        assert metric[name] == pytest.approx(25.4 * inch[name], abs=3e-5)


def visits(*means: float, hours: int = 24) -> list[Request]:
    return [{"hours": k * hours, "values": [mean] * 5} for k, mean in enumerate(means)]


def verdict(boards: list[Request], framing: float = 9, **rules: Any) -> str:
    request = copy.deepcopy(SMALL)
    request["boards"] = SMALL["boards"] | {"readings": boards}
    del request["boards"]["mc"]
    told = answered(request | {"framing": {"mc": framing}, "rules": rules}, OPERATION)
    return str(told["summary"]["verdict"])


def test_acclimated_is_by_readings_and_not_by_days() -> None:
    """A month on the site is nothing; a day between two like readings is all.

    The small example's air brings pine to 6.5 and 10.4 %.
    """
    assert verdict(visits(8.5, 8.5)) == "install"
    assert verdict([{"hours": 720, "values": [8.5] * 5}]) == "read_again"
    assert verdict(visits(8.5, 8.5, hours=12)) == "read_again"
    assert verdict(visits(9.5, 8.5)) == "hold"
    assert verdict(visits(12.5, 12.5)) == "hold"
    assert verdict([{"hours": 0, "values": [8.5] * 5}, {"hours": 30, "values": [8.5]}]) \
        == "read_again"  # fmt: skip


def test_boards_wait_for_the_framing() -> None:
    """2 points for boards of 3 in and more, 4 for narrower ones; 19 % at most."""
    assert verdict(visits(8.5, 8.5), framing=10.5) == "install"
    assert verdict(visits(8.5, 8.5), framing=11) == "hold"
    assert verdict(visits(8.5, 8.5), framing=11, most_apart=4) == "install"
    assert verdict(visits(8.5, 8.5), framing=20, most_apart=40) == "hold"


def test_tongues_stay_in_their_grooves() -> None:
    """16 % down to 6.5: 5.125 x 0.00212 x 9.5 = 0.103 in; a tongue of 1/8 may open by 1/16."""
    request = SMALL | {"boards": SMALL["boards"] | {"mc": 16, "tongue": 0.125}}
    checks = {row["check"]: row for row in answered(request, OPERATION)["checks"]}
    assert checks["tongues_stay"]["result"] == "not_met"
    assert checks["tongues_stay"]["limit"] == 0.0625
    assert checks["tongues_stay"]["found"] == pytest.approx(5.125 * 0.00212 * (16 - 6.51), abs=1e-3)


def test_a_stack_by_hand() -> None:
    """60 boards of 5-3/8 in 36 in: 6 across, 10 rows; 16 ft has 5 bearers and 9 lines of stickers.

    9 x 9 = 81 stickers; 6 + 10 x 3/4 + 9 x 3/4 = 20-1/4 in high; (192 + 24) x (32-1/4 + 24) in of
    cover is 12 150 sq in, 84.375 sq ft.
    """
    (stack,) = answered(FULL, OPERATION)["stacks"]
    assert (stack["across"], stack["rows"], stack["bearers"], stack["stickers"]) == (6, 10, 5, 81)
    assert (stack["height"], stack["cover"]) == (20.25, 84.375)


BAD = {
    "/air/0/wet_bulb": ("warmer-than-air", {"id": "a", "temperature": 60, "wet_bulb": 61}),
    "/air/0/dew_point": ("warmer-than-air", {"id": "a", "temperature": 60, "dew_point": 61}),
    "/air/0/wet_bulb ": ("wet-bulb-frozen", {"id": "a", "temperature": 40, "wet_bulb": 31}),
    "/air/0/wet_bulb  ": ("drier-than-air-can-be", {"id": "a", "temperature": 120, "wet_bulb": 50}),
    "/air/0": ("air", {"id": "a", "temperature": 60}),
    "/air/0 ": ("air", {"id": "a", "humidity": 60}),
    "/air/0/temperature": ("length", {"id": "a", "temperature": "70 K", "humidity": 60}),
}


@pytest.mark.parametrize("at", BAD)
def test_air_that_cannot_be_is_refused(at: str) -> None:
    code, air = BAD[at]
    _, faults = refused(SMALL | {"air": [air]}, OPERATION)
    assert [(one["code"], one["pointer"]) for one in faults] == [(code, at.rstrip())]


def test_names_and_visits_are_in_order() -> None:
    twice = SMALL | {"air": [{"id": "a", "mc": 8}, {"id": "a", "mc": 9}]}
    assert refused(twice, OPERATION)[1][0]["code"] == "id-twice"
    boards = {key: value for key, value in SMALL["boards"].items() if key != "mc"}
    back = SMALL | {"boards": boards | {"readings": visits(9, 9, hours=0)}}
    (fault,) = refused(back, OPERATION)[1]
    assert (fault["code"], fault["pointer"]) == ("visit-before-last", "/boards/readings/1/hours")
    unknown = SMALL | {"boards": SMALL["boards"] | {"species": "purpleheart"}}
    assert "western_redcedar" in refused(unknown, OPERATION)[1][0]["detail"]


def test_on_paper_it_says_whether_they_go_up() -> None:
    found = answer(body_of(FULL), Picked(media=TEXT, operation=OPERATION, columns=60)).body.decode()
    assert found.startswith("Install:")
    assert max(map(len, found.splitlines())) <= 60
    assert '5 level bearers that keep them 6" off' in " ".join(found.split())
    table = answer(body_of(SMALL), Picked(media=CSV, operation=OPERATION)).body.decode()
    assert table.splitlines()[0].startswith("check,found,limit,measured_in,result")
