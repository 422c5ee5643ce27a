"""Every cure cures: applied and sent again, what was found is gone and nothing new is refused."""

from __future__ import annotations

import ast
import json
from collections.abc import Iterator
from pathlib import Path
from typing import Any, Final, Literal

import pytest
from hypothesis import given

from tests.independent.json_patch import patched
from tests.strategies.ailing import AILING, FURTHER, Request, ailing
from tests.strategies.asking import asked
from tests.strategies.budget import LAW

ROOT = Path(__file__).parents[2]
When = Literal["always", "sometimes", "never"]

_TRIED = "offered where a trial of it succeeds"
_CALLER = "only the caller knows what is true or wanted"
_NOTE = "a note of what was done, or of what to do on site"
_GEOMETRY = "no single edit of a drawing is the right one"

CURABLE: Final[dict[str, tuple[When, str]]] = {
    "cannot-be-opened": ("never", "what is up is as it is: only the caller knows"),
    "choice": ("never", "a cell of a sheet is mended in the sheet"),
    "missing": ("never", "a cell of a sheet is mended in the sheet"),
    "prices": ("never", _CALLER),
    "too-long": ("never", "which lengths of a cell are kept is the caller's to say"),
    "jobs-differ": ("never", "another unit would be another job"),
    "no-such-piece": ("never", "which piece was meant is the caller's to say"),
    "nothing-up-there": ("never", "which part was meant is the caller's to say"),
    "backing-no-fastener": ("never", _CALLER),
    "backing-not-ordered": ("never", _CALLER),
    "backing-too-long": ("never", _CALLER),
    "board-narrow": ("never", _CALLER),
    "bottom-ripped": ("never", _NOTE),
    "members-not-read": ("never", _CALLER),
    "no-corner-before": ("never", _CALLER),
    "wrap-needs-panelling": ("sometimes", _TRIED),
    "no-such-member": ("never", _CALLER),
    "read-beyond-member": ("never", _CALLER),
    "read-twice": ("never", _CALLER),
    "shims-thick": ("never", _NOTE),
    "nailers-laid": ("never", _CALLER),
    "nothing-on-hand": ("never", _CALLER),
    "not-tried": ("never", "a variation of the service's own that went wrong"),
    "drier-than-air-can-be": ("never", _CALLER),
    "visit-before-last": ("never", _CALLER),
    "warmer-than-air": ("never", _CALLER),
    "wet-bulb-frozen": ("never", _CALLER),
    "bead-in-gap": ("never", _NOTE),
    "beads-broken": ("sometimes", "where a gap up to 1/4 in makes good what is missing"),
    "beads-wide": ("never", _CALLER),
    "laid-over-beams": ("sometimes", _TRIED),
    "lap-wide": ("never", _CALLER),
    "unit-slip": ("never", "only the caller knows the unit that was meant"),
    "printed-not-met": ("never", _CALLER),
    "boards-wait": ("never", _CALLER),
    "gap-below-movement": ("never", _CALLER),
    "gap-for-moisture": ("never", _NOTE),
    "joint-opens": ("never", _CALLER),
    "moisture-not-known": ("never", _CALLER),
    "moves-beyond-range": ("never", _NOTE),
    "no-such-surface": ("never", _CALLER),
    "room-unsettled": ("never", _CALLER),
    "spacer-for-moisture": ("never", _NOTE),
    "swells-beyond-joint": ("never", "drier air, or other boards, are the caller's choice"),
    "tongue-leaves-groove": ("never", _CALLER),
    "beam-crosses-opening": ("never", _CALLER),
    "beam-end-aslant": ("never", _NOTE),
    "no-wall-beside": ("never", "which wall is meant is the caller's to say"),
    "wall-in-beam": ("never", "where the beam is wanted instead is the caller's to say"),
    "beam-joints-blocked": ("sometimes", f"{_TRIED}; joints nearer where the caller relaxes"),
    "beam-too-small": ("sometimes", _TRIED),
    "beams-not-square": ("sometimes", _TRIED),
    "blind-too-wide": ("sometimes", f"{_TRIED}; a finding where the caller relaxes has none"),
    "blocks-needed": ("never", _NOTE),
    "blocks-too-many": ("never", _CALLER),
    "board-too-wide": ("never", _CALLER),
    "boards-hidden": ("never", "the caller chooses how boards and beams meet"),
    "core-other-width": ("never", _CALLER),
    "core-too-wide": ("sometimes", _TRIED),
    "corner-not-wrapped": ("never", _NOTE),
    "corner-wrapped": ("never", _NOTE),
    "wrap-round-corner": ("never", _NOTE),
    "corner-ripped": ("never", _NOTE),
    "count-by-diameter": ("never", _CALLER),
    "breaker-no-room": ("sometimes", _TRIED),
    "cut-to-line": ("never", _NOTE),
    "coverage-contradicts": ("never", _CALLER),
    "coverage-is-overall": ("never", _CALLER),
    "coverage-over-nominal": ("never", _CALLER),
    "coverage-unusual": ("never", _CALLER),
    "coverage-wrong": ("never", _CALLER),
    "crosses-itself": ("never", _GEOMETRY),
    "cuts-shared": ("never", _NOTE),
    "diagonal-misfit": ("never", _CALLER),
    "edge-twice": ("never", _CALLER),
    "edges-unsupported": ("always", "blocking the edges changes nothing but the fasteners"),
    "end-matched-on-framing": ("sometimes", _TRIED),
    "end-narrow": ("never", _GEOMETRY),
    "ends-hang": ("sometimes", "where members at both ends carry all; headers are the framer's"),
    "ends-square": ("never", _NOTE),
    "ends-on-panel": ("never", "a note: the panel carries them"),
    "equal-needs-lapped": ("sometimes", _TRIED),
    "exposures-by-zone": ("never", _NOTE),
    "fastener-corrodes": ("always", "another metal changes nothing else"),
    "fastener-short": ("sometimes", f"{_TRIED}; a finding where the caller relaxes has none"),
    "feature-missed": (
        "sometimes",
        "where a start was sent; which mark goes, the caller says",
    ),
    "fixture-braced": ("never", _NOTE),
    "flange-narrow": ("never", _CALLER),
    "flange-wide": ("sometimes", _TRIED),
    "free-area-short": ("never", "how a roof is vented is not advised: a strip is compared only"),
    "free-area-unknown": ("never", _CALLER),
    "floating-needs-end-matched": ("sometimes", _TRIED),
    "gap-uncovered": ("never", "only the caller knows what is put up there"),
    "framing-uneven": ("never", "a note of what to do on site"),
    "gap-passes-edge": ("never", _CALLER),
    "gap-takes-rip": ("never", _NOTE),
    "gap-takes-strip": ("never", _NOTE),
    "glue-not-named": ("never", _CALLER),
    "glue-overhead": ("never", _NOTE),
    "groove-shows": ("never", _CALLER),
    "h-joint": ("never", "joints lie as the least cost has them; nothing is wrong"),
    "held-by-blocks": ("never", _NOTE),
    "held-by-panel": ("never", "blocks or straps are the framer's, and not part of the request"),
    "hold-limited": ("never", "thicker straps are the caller's choice"),
    "hole-covered": ("never", _NOTE),
    "hole-long": ("never", _CALLER),
    "hole-on-joint": ("sometimes", f"{_TRIED}, on surfaces whose stations are those sent"),
    "id-twice": ("never", _CALLER),
    "matched": ("never", _CALLER),
    "impossible-triangle": ("never", _CALLER),
    "joint-near-corner": ("never", "no other joint of the sheets is allowed there"),
    "lines-need-lapped": ("never", _CALLER),
    "many-joints": ("never", "longer boards are the caller's to buy"),
    "joint-near-hole": ("never", "no joint keeps the distance"),
    "joint-on-panel-joint": ("never", "the rule is in the text: all must be solved to try it"),
    "joints-not-level": ("sometimes", _TRIED),
    "joints-blocked": ("sometimes", "none where no single change frees the joints"),
    "lap-nailed-through": ("sometimes", _TRIED),
    "lap-short": ("sometimes", _TRIED),
    "laps-against-water": ("sometimes", _TRIED),
    "laps-shed-water": ("never", _NOTE),
    "last-course-drop-in": ("never", _NOTE),
    "leg-cut-out": ("never", _NOTE),
    "leg-frail": ("sometimes", "none where the courses are held, or no near shift clears all legs"),
    "leg-unbacked": ("never", "blocks are the framer's, and not part of the request"),
    "member-outside": ("never", _CALLER),
    "moulding-narrow": ("never", _CALLER),
    "mitres-cross": ("never", _GEOMETRY),
    "mitred-unequal": ("sometimes", _TRIED),
    "members-crossed": ("never", "headers and trimmers are the framer's"),
    "no-area": ("never", _GEOMETRY),
    "no-bay": ("sometimes", "where beams lie otherwise and evenly; none where all is covered"),
    "no-beam": ("sometimes", _TRIED),
    "no-bearing": ("sometimes", _TRIED),
    "no-core": ("never", _CALLER),
    "no-core-fastener": ("never", _CALLER),
    "metal-unknown": ("never", _CALLER),
    "no-clip": ("never", _CALLER),
    "no-cull": ("never", _CALLER),
    "no-currency": ("never", _CALLER),
    "no-fastener": ("never", _CALLER),
    "no-lap": ("sometimes", _TRIED),
    "no-member-behind": ("sometimes", f"{_TRIED}; none behind sheets: where are the members?"),
    "no-member-crossed": ("sometimes", _TRIED),
    "no-panel-behind": ("sometimes", _TRIED),
    "no-sheathing": ("sometimes", _TRIED),
    "no-such-edge": ("never", _CALLER),
    "no-spare": ("never", _CALLER),
    "no-such-opening": ("never", _CALLER),
    "offcuts-short": ("never", "what is worth keeping is the caller's to say"),
    "not-framed": ("never", "a ring is bought as one; only the caller knows"),
    "no-such-product": ("never", _CALLER),
    "no-supports": ("never", _CALLER),
    "no-tape": ("never", _CALLER),
    "no-tongue": ("sometimes", _TRIED),
    "not-as-you-go": ("sometimes", _TRIED),
    "nothing-left": ("sometimes", "where the gap of an edge is what leaves nothing"),
    "nothing-to-hold": ("sometimes", _TRIED),
    "opening-crosses-edge": ("never", _GEOMETRY),
    "opening-outside": ("never", _GEOMETRY),
    "opening-under-beam": ("never", _NOTE),
    "openings-merged": ("never", _NOTE),
    "outer-edge": ("never", "only the caller knows which side is seen"),
    "outer-edge-ripped": ("never", _NOTE),
    "over-limit": ("never", "a job is split by the caller"),
    "part-left-out": ("never", _NOTE),
    "part-wider-than-board": ("sometimes", _TRIED),
    "piece-unheld": ("never", "backing is the framer's"),
    "prices-partial": ("never", _CALLER),
    "price-missing": ("sometimes", _TRIED),
    "piece-too-long": ("never", _CALLER),
    "product-twice": ("never", _CALLER),
    "rests-need-prices": ("sometimes", _TRIED),
    "reveal-needs-sides": ("sometimes", _TRIED),
    "reveal-too-deep": ("sometimes", _TRIED),
    "rim-ripped": ("never", _NOTE),
    "rip-small": ("sometimes", "only where another start was sent; best was taken otherwise"),
    "rip-too-small": ("sometimes", _TRIED),
    "raw-ends-tight": ("never", "sound ends are picked on site; a trim is the caller's choice"),
    "rips-shared": ("never", _NOTE),
    "roll-too-narrow": ("sometimes", _TRIED),
    "roll-too-short": ("sometimes", _TRIED),
    "rules-not-costed": ("never", "the job is too large for it"),
    "run-dropped": ("never", _NOTE),
    "scarf-off-member": ("never", "a block or a stud is the framer's"),
    "seam-near-corner": ("sometimes", "where rows from the other side clear all corners"),
    "seam-on-no-member": ("sometimes", _TRIED),
    "shallower-through": ("sometimes", _TRIED),
    "sheet-length-lost": ("never", _CALLER),
    "runs-parted": ("never", "longer boards are the caller's to find"),
    "sheets-blocked": ("sometimes", "where one rule lowered frees the sheets"),
    "sheets-trimmed": ("sometimes", _TRIED),
    "skins-need-square-edges": ("sometimes", _TRIED),
    "trim-needs-square-edges": ("sometimes", _TRIED),
    "smooth-nail-in-panel": ("never", _CALLER),
    "spacer-in-lap": ("sometimes", _TRIED),
    "spacer-too-wide": ("sometimes", _TRIED),
    "spacing-odd": ("never", _CALLER),
    "spacing-unusual": ("never", _CALLER),
    "staircase": ("never", "joints lie as the least cost has them; nothing is wrong"),
    "starter-needs-lapped": ("never", _CALLER),
    "starter-strip": ("never", _NOTE),
    "stock-rules-differ": ("sometimes", _TRIED),
    "stock-short": ("sometimes", "none where no number of any one length does"),
    "stock-too-short": ("never", _CALLER),
    "strap-loose": ("never", "a header or a block is the framer's"),
    "strap-narrow": ("sometimes", "where two side by side are wide enough"),
    "strap-too-short": ("never", _CALLER),
    "strip-beyond-surface": ("sometimes", _TRIED),
    "strip-meets-opening": ("never", _CALLER),
    "strip-over-layers": ("never", "the order of layers is the caller's"),
    "straps-too-near": ("sometimes", _TRIED),
    "straps-along-members": ("sometimes", _TRIED),
    "strip-narrow": ("never", "no other member lets the seam move"),
    "tally-too-short": ("never", _CALLER),
    "taken-as-square": ("never", _CALLER),
    "taper": ("never", _NOTE),
    "too-many-widths": ("sometimes", _TRIED),
    "tuck-too-deep": ("sometimes", _TRIED),
    "view-not-sent": ("never", "only the caller knows how it was drawn"),
    "width-for-turn-down": ("sometimes", _TRIED),
    "widths-not-level": ("sometimes", _TRIED),
    "wrong-form": ("never", _CALLER),
    "zone-unfilled": ("never", _CALLER),
}
"""Each code of a finding or of a fault of the trade: whether it has a cure, and why not always."""

NOT_TRIED = "; not tried: "


def told(request: Request) -> tuple[str, list[dict[str, Any]]]:
    """Whether it was answered or how refused; and its findings or faults, `at` saying where."""
    found = asked(request)
    body = json.loads(found.body)
    if found.kind == "answer":
        return found.kind, body["findings"]
    return found.kind, [
        {"cure": None, **row, "at": row["pointer"], "text": row["detail"]} for row in body["faults"]
    ]


def places(rows: list[dict[str, Any]]) -> set[tuple[str, str]]:
    return {(row["code"], row["at"]) for row in rows}


def false_cures(request: Request) -> Iterator[str]:
    """What is untrue of the cures that a request is told."""
    kind, rows = told(request)
    for row in rows:
        place, cure = (row["code"], row["at"]), row["cure"]
        if kind in ("answer", "TradeRefused"):
            yield from _against_the_table(row)
        if cure is None:
            continue
        after, left = told(without_choices(patched(request, cure)))
        if place in places(left):
            yield f"{place} stays: {cure}"
        if after != "answer" and (kind == "answer" or places(left) - places(rows)):
            yield f"{place}: {cure} is refused: {left}"


def without_choices(request: Request) -> Request:
    """The same job, not asked what else could be chosen: that tells of no cure, and takes long."""
    return {name: value for name, value in request.items() if name != "choices"}


def _against_the_table(row: dict[str, Any]) -> Iterator[str]:
    when, _ = CURABLE[row["code"]]
    if when == "never" and row["cure"] is not None:
        yield f"{row['code']} has a cure, and the table says never"
    if when == "always" and row["cure"] is None and NOT_TRIED not in row["text"]:
        yield f"{row['code']} has no cure, and the table says always"


@pytest.mark.parametrize("code", AILING)
def test_each_code_that_can_be_cured_is_cured_where_it_is_made_up(code: str) -> None:
    """The request of each curable code is told it, with a cure that cures."""
    _, rows = told(AILING[code])
    assert [row for row in rows if row["code"] == code and row["cure"]], rows
    assert list(false_cures(AILING[code])) == []


@pytest.mark.parametrize("name", FURTHER)
def test_cures_of_what_is_odd_cure(name: str) -> None:
    """Feet, multiples, rules set to nothing, two things wrong one behind the other."""
    assert list(false_cures(FURTHER[name])) == []


EXAMPLES = sorted([*ROOT.glob("openapi/examples/*.json"),
                   *ROOT.glob("service/products/kinds/*/examples/*.json")])  # fmt: skip


@pytest.mark.parametrize("file", EXAMPLES, ids=[f"{f.parts[-3]}/{f.name}" for f in EXAMPLES])
def test_cures_of_the_examples_cure(file: Path) -> None:
    """Those that the contract shows, and each kind's own."""
    assert list(false_cures(json.loads(file.read_bytes()))) == []


@LAW
@given(request=ailing())
def test_no_cure_is_false(request: Request) -> None:
    """Whatever is wrong with a job, in company as alone."""
    assert list(false_cures(request)) == []


def codes() -> set[str]:
    """The codes that stand in the source as the first word of a fault or a finding."""
    makers = {"Fault", "Finding", "Misplaced", "_refused"}
    found = set()
    for file in (ROOT / "service").rglob("*.py"):
        for node in ast.walk(ast.parse(file.read_text(encoding="utf-8"))):
            if isinstance(node, ast.Call) and getattr(node.func, "id", "") in makers and node.args:
                first = node.args[0]
                if isinstance(first, ast.Constant) and isinstance(first.value, str):
                    found.add(first.value)
    return found


def test_the_table_has_every_code() -> None:
    """A code that is new must be entered, with whether it can be cured and why."""
    source = "".join(file.read_text(encoding="utf-8") for file in (ROOT / "service").rglob("*.py"))
    assert codes() - set(CURABLE) == set()
    assert {code for code in CURABLE if f'"{code}"' not in source} == set()


def test_each_code_that_can_be_cured_is_made_up() -> None:
    """Or there would be cures that nobody tries."""
    can = {code for code, (when, _) in CURABLE.items() if when != "never"}
    assert can == set(AILING)


def test_the_table_says_why() -> None:
    assert all(why for _, why in CURABLE.values())
