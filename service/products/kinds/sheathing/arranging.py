"""End joints of all rows of one layer: the arrangement that needs the least stock, or why none."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from functools import cache
from typing import Any

from service.cutting.sheet_fill import fills
from service.cutting.sheets import Part, SheetStock
from service.errors import Finding, JsonValue, Relaxed, Ticks
from service.geometry.rings import Point
from service.layout.bearings import Bearing, BearingLine
from service.layout.panels import (
    Arranged,
    Joints,
    PanelRules,
    PanelRun,
    arrange,
    least_apart,
    patterned,
    spans,
    usual_spacing,
)
from service.layout.runs import Laid
from service.products.kind import Said, Settings, Task
from service.products.kinds.sheathing.refusing import askew, blocked
from service.products.stock import stocks_of
from service.units.ticks import INCH, down
from service.units.writing import both

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
        runs = _runs(task, laid, lines, bearings, corners, wish)
    groups = [found, *_of_shorter(task, runs, wish.rules)]
    best = _least(task, laid, runs, groups, wish.rules)
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


def _of_shorter(
    task: Task, runs: Sequence[PanelRun], rules: PanelRules
) -> Iterator[list[Arranged]]:
    """Ways that need no longer sheets than each length which can be bought but the longest."""
    lengths = {stock.length for stock in task.product.stock}
    for length in sorted(lengths - {rules.most}, reverse=True):
        yield patterned(runs, replace(rules, most=length))


def _stocks(task: Task) -> list[SheetStock]:
    """The sheets that can be bought, at their prices if all have one, otherwise by length.

    A sheet then costs the gap beside it too: two short ones cover no more than one as long as both.
    """
    bars, objective = stocks_of(task.product, 0, Settings(None, "quick", False))
    gap, priced = task.rules.get("panel_gap"), objective.measured_in == "money"
    return [
        SheetStock(s.key, s.length, task.product.width, s.cost if priced else s.length + gap,
                   s.supply)
        for s in bars
    ]  # fmt: skip


def _least(
    task: Task,
    laid: Laid,
    runs: Sequence[PanelRun],
    groups: Sequence[list[Arranged]],
    rules: PanelRules,
) -> Arranged:
    """Fewest joints near corners, then least stock, fewest pieces, and joints farthest apart."""
    kerf, stocks = task.rules.get("kerf"), _stocks(task)

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

    @cache
    def cost(sizes: frozenset[tuple[Part, int]]) -> int:
        plans = fills(dict(sizes), stocks, kerf, {})
        return min((sum(stocks[n].cost for n, _ in plan) for plan in plans), default=1 << 62)

    def stock(one: Arranged) -> int:
        return cost(frozenset(parts(one).items()))

    every = [one for own in groups for one in own]
    least = min(one.near for one in every)
    likely = [one for one in every if one.near == least]
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
            raise blocked(task, key, value, _end_bearing(lines, wish))
        said.relaxed.append(Relaxed(RULE_OF[key], key, asked, value, (task.at,)))
        return eased, found
    raise askew(task, bearings, _end_bearing(lines, wish)) or blocked(task, None, None, 0)


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


def _end_bearing(lines: Sequence[BearingLine], wish: Wish) -> int:
    """What each of two sheets that meet square on a member bears on it (11.1)."""
    return max(0, max((line.half for line in lines), default=0) - (wish.rules.gap + 1) // 2)


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
