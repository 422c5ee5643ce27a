"""End joints of all rows of one layer: the arrangement that needs the least stock, or why none."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from typing import Any

from service.cutting.sheet_fill import fills
from service.cutting.sheets import Part, SheetStock
from service.errors import Cure, Fault, Finding, JsonValue, Relaxed, Ticks, TradeRefused
from service.geometry.rings import Point
from service.layout.bearings import Bearing, BearingLine
from service.layout.panels import (
    Arranged,
    Joints,
    PanelRules,
    PanelRun,
    arrange,
    least_apart,
    spans,
    usual_spacing,
)
from service.layout.runs import Laid
from service.products.kind import Said, Task
from service.units.ticks import INCH, down
from service.units.writing import both

MOST_COMPARED = 6
"""Arrangements nested in full; a quick count of sheets picks them."""

BLOCK_STEP = 4 * INCH
"""Where joints lie on blocks, they are tried at this step."""

RULE_OF = {
    "panel_min_bearings": "11.5", "panel_min_piece": "11.5", "panel_stagger": "11.5",
    "panel_end_bearing": "11.1",
}  # fmt: skip


@dataclass(frozen=True, slots=True)
class Arrangement:
    """The joints of every run, and the rules that they keep (easings applied)."""

    joints: tuple[Joints, ...]
    rules: PanelRules
    blocks: int


@dataclass(frozen=True, slots=True)
class Wish:
    """The rules of one try: what joints keep, and the bearing of each end."""

    rules: PanelRules
    end_bearing: int


def arranged(
    task: Task,
    laid: Laid,
    lines: Sequence[BearingLine],
    bearings: Sequence[Bearing],
    corners: Sequence[Point],
    said: Said,
) -> Arrangement:
    """Joints on members, staggered; on blocks where the sheets run with the members (11.1)."""
    wish = _wish(task, lines, on_members=bool(bearings))
    runs = _runs(task, laid, lines, bearings, corners, wish)
    found = arrange(runs, wish.rules)
    if not found:
        wish, found = _eased(task, laid, lines, bearings, corners, wish, said)
    best = _least(task, laid, runs, found, wish.rules)
    _say_near(task, best, said)
    blocks = 0 if bearings else sum(len(joints) for joints in best.joints)
    return Arrangement(best.joints, wish.rules, blocks)


def _wish(task: Task, lines: Sequence[BearingLine], *, on_members: bool) -> Wish:
    rules = task.rules
    spacing = max((usual_spacing(line) for line in lines), default=0) if on_members else 0
    apart = spacing or 2 * BLOCK_STEP
    return Wish(
        PanelRules(
            max(stock.length for stock in task.product.stock),
            rules.get("panel_min_piece"),
            rules.get("panel_min_bearings") if on_members else 0,
            rules.get("panel_gap"),
            rules.get("panel_stagger", fallback=apart),
            rules.get("joint_from_corner"),
            rules.get("min_touch"),
        ),
        rules.get("panel_end_bearing"),
    )


def _runs(
    task: Task,
    laid: Laid,
    lines: Sequence[BearingLine],
    bearings: Sequence[Bearing],
    corners: Sequence[Point],
    wish: Wish,
) -> list[PanelRun]:
    """Every run with the stations at which two sheets can meet."""
    found = []
    for run in laid.runs:
        row, line = laid.courses[run.course - 1], lines[run.course - 1]
        able = _seats(bearings, line, row.face, wish) if bearings else _steps(run.low, run.high)
        stations = tuple(at for at in able if run.low < at < run.high)
        near = wish.rules.corner
        beside = [u for u, v in corners if row.low - near < v < row.high + near]
        shut = frozenset(at for at in stations if any(abs(at - u) < near for u in beside))
        found.append(PanelRun(run.course, run.low, run.high, line, stations, shut))
    return found


def _seats(
    bearings: Sequence[Bearing], line: BearingLine, width: int, wish: Wish
) -> tuple[int, ...]:
    """Members wide and square enough for two ends with their gap (11.1)."""
    slanted = {one.number: abs(one.slant) * width / 2 for one in bearings}
    room = line.half - (wish.rules.gap + 1) // 2 - wish.end_bearing
    return tuple(
        at
        for at, number in zip(line.stations, line.numbers, strict=True)
        if slanted[number] <= room
    )


def _steps(low: int, high: int) -> tuple[int, ...]:
    return tuple(range(low + BLOCK_STEP, high, BLOCK_STEP))


def _least(
    task: Task,
    laid: Laid,
    runs: Sequence[PanelRun],
    found: Sequence[Arranged],
    rules: PanelRules,
) -> Arranged:
    """Fewest joints near corners, then least stock, fewest pieces, and joints farthest apart."""
    kerf = task.rules.get("kerf")
    stocks = [
        SheetStock(str(k), one.length, task.product.width, one.length)
        for k, one in enumerate(task.product.stock)
    ]

    def parts(one: Arranged) -> Counter[Part]:
        sizes: Counter[Part] = Counter()
        for run, joints in zip(runs, one.joints, strict=True):
            width = laid.courses[run.row - 1].face
            for low, high in spans(run, joints, rules.gap):
                sizes[Part(high - low, width)] += 1
        return sizes

    def pieces(one: Arranged) -> tuple[int, int]:
        """How many joints there are, and how long they are in all."""
        wide = [laid.courses[run.row - 1].face for run in runs]
        counts = [len(joints) for joints in one.joints]
        return sum(counts), sum(a * b for a, b in zip(counts, wide, strict=True))

    half = rules.most // 2

    def apart(one: Arranged) -> int:
        return min(least_apart(runs, one.joints), half)

    likely = sorted(found, key=lambda one: (one.near, pieces(one), -apart(one)))[:MOST_COMPARED]

    def stock(one: Arranged) -> int:
        plans = fills(parts(one), stocks, kerf, {})
        return min((sum(stocks[n].cost for n, _ in plan) for plan in plans), default=1 << 62)

    if len(likely) == 1:
        return likely[0]
    return min(likely, key=lambda one: (one.near, stock(one), pieces(one), -apart(one)))


def _eased(
    task: Task,
    laid: Laid,
    lines: Sequence[BearingLine],
    bearings: Sequence[Bearing],
    corners: Sequence[Point],
    wish: Wish,
    said: Said,
) -> tuple[Wish, list[Arranged]]:
    """The first single rule whose lowering lets the sheets be laid: a refusal's cure, or used."""
    for key, value, eased in _easings(wish):
        found = arrange(_runs(task, laid, lines, bearings, corners, eased), eased.rules)
        if not found:
            continue
        asked = _asked(wish, key)
        if not task.relax:
            raise _blocked(task, key, value)
        said.relaxed.append(Relaxed(RULE_OF[key], key, asked, value, (task.at,)))
        return eased, found
    raise _blocked(task, None, None)


def _easings(wish: Wish) -> Iterator[tuple[str, JsonValue, Wish]]:
    rules = wish.rules
    if rules.bearings > 2:
        yield "panel_min_bearings", 2, replace(wish, rules=replace(rules, bearings=2))
    for least in (16 * INCH, 12 * INCH):
        if least < rules.least:
            eased = replace(rules, least=least, bearings=min(rules.bearings, 2))
            if rules.bearings <= 2:
                yield "panel_min_piece", Ticks(least), replace(wish, rules=eased)
    bearing = down(wish.end_bearing - 1, INCH // 16)
    while bearing >= INCH // 4:
        yield "panel_end_bearing", Ticks(bearing), replace(wish, end_bearing=bearing)
        bearing -= INCH // 16
    if rules.stagger:
        yield "panel_stagger", Ticks(0), replace(wish, rules=replace(rules, stagger=0))


def _asked(wish: Wish, key: str) -> JsonValue:
    rules = wish.rules
    found: dict[str, Any] = {
        "panel_min_bearings": rules.bearings,
        "panel_min_piece": Ticks(rules.least),
        "panel_end_bearing": Ticks(wish.end_bearing),
        "panel_stagger": Ticks(rules.stagger),
    }
    value: JsonValue = found[key]
    return value


def _blocked(task: Task, key: str | None, value: JsonValue) -> TradeRefused:
    longest = max(stock.length for stock in task.product.stock)
    text = (
        f"no joints on the members serve sheets up to {both(longest)} long: a joint lies on a "
        "member's centre, pieces keep their least length and bearings, and rows are staggered"
    )
    cure = None
    if key is not None:
        cure = Cure(f"{task.pointer}/rules/{key}", value)
        text += f"; a lower `{key}` would free it"
    return TradeRefused(Fault("sheets-blocked", text, task.pointer, cure=cure, rule="11.5"))


def _say_near(task: Task, best: Arranged, said: Said) -> None:
    if best.near:
        limit = task.rules.get("joint_from_corner")
        said.find(
            Finding(
                "joint-near-corner",
                task.at,
                f"{best.near} end joints lie nearer than {both(limit)} to a corner of an opening: "
                "no other joints keep the stagger",
                rule="5.5",
                limit=limit,
            )
        )
