"""End joints of all rows of one layer: the arrangement that needs the least stock, or why none."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace

from service.cutting.sheets.ways import Jointing
from service.errors import JsonValue, Relaxed, Ticks
from service.geometry.breadth import breadth_of
from service.geometry.rings import Point, Region
from service.layout.bearings import Bearing, BearingLine
from service.layout.level_joints import level_lines, level_ways
from service.layout.panel_runs import Arranged, Joints, PanelRules, PanelRun, Side, plainer_side
from service.layout.panels import arrange, patterned, usual_spacing
from service.layout.runs import Laid, Run
from service.products.goods.sheet.needs import Rows, SheetJoints, Together
from service.products.kinds.sheathing.beside_openings import least_area, taken_whole
from service.products.kinds.sheathing.choosing import improved
from service.products.kinds.sheathing.refusing import askew, blocked, not_level
from service.products.kinds.sheathing.rulings import Task
from service.products.kinds.sheathing.together import chosen_together
from service.products.kinds.sheathing.weighing import weighing_of
from service.products.remarks import Remarks
from service.units.ticks import INCH, down

BLOCK_STEP = 4 * INCH
"""Where joints lie on blocks, they are tried at this step."""

RULE_OF = {
    "panel_min_bearings": "11.5", "panel_min_piece": "11.5", "panel_stagger": "11.5",
    "panel_end_bearing": "11.1",
}  # fmt: skip


@dataclass(frozen=True, slots=True)
class Arrangement:
    """The joints of every run, and the rules that they keep (easings applied).

    `side` has the runs as their joints were sought, `arranged` their joints there, and `ways` all
    ways of jointing each of them; where it has none, as on blocks, `bare` is the area that its
    pieces cover at least (square ticks). `together` is there when the joints are those chosen
    with the stock for all layers of the product.
    """

    joints: tuple[Joints, ...]
    rules: PanelRules
    side: Side
    arranged: Arranged
    blocks: int
    ways: tuple[Jointing, ...]
    bare: int
    together: Together | None = None

    @property
    def rows(self) -> Rows | None:
        """The rows as they can be jointed otherwise; None on blocks."""
        if not self.ways:
            return None
        return Rows(runs=self.side.runs, rules=self.rules, arranged=self.arranged)

    def settled(self, chosen: SheetJoints) -> Arrangement:
        """The same rows with joints that were chosen for them."""
        return replace(
            self,
            joints=self.side.back(chosen.joints),
            arranged=Arranged(chosen.joints, chosen.near),
            together=chosen.together,
        )


@dataclass(frozen=True, slots=True)
class Openings:
    """Openings as they are cut out of a layer, and the corners of those with straight sides."""

    shapes: Region
    corners: tuple[Point, ...]


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
    cut: Openings,
    said: Remarks,
) -> Arrangement:
    """Joints on members, staggered; on blocks where the sheets run with the members (11.1)."""
    wish = _wish(task, lines, on_members=bool(bearings))
    if task.rules.level:
        return _in_lines(task, laid, _runs(task, laid, lines, bearings, cut, wish), wish, cut)
    side = plainer_side(_runs(task, laid, lines, bearings, cut, wish))
    found = arrange(_placed(side, bearings), wish.rules)
    if not found:
        wish, side, found = _eased(task, laid, lines, bearings, cut, wish, said)
    runs = _placed(side, bearings)
    weighing = weighing_of(task, runs, wish.rules, on_members=bool(bearings))
    best = improved(weighing, weighing.least([*found, *_of_shorter(task, runs, wish.rules)]))
    best, together = chosen_together(weighing, best)
    bare = 0 if bearings else least_area(task, laid, cut.shapes)
    blocks = 0 if bearings else sum(len(joints) for joints in best.joints)
    return Arrangement(
        joints=side.back(best.joints),
        rules=wish.rules,
        side=side,
        arranged=best,
        blocks=blocks,
        ways=weighing.ways,
        bare=bare,
        together=together,
    )


def _in_lines(
    task: Task, laid: Laid, runs: Sequence[PanelRun], wish: Wish, cut: Openings
) -> Arrangement:
    """Joints of all rows in the same lines, on members or on rows of blocks (12.3)."""
    rules = replace(wish.rules, stagger=0)
    on_members = any(run.line.stations for run in runs)
    lines = None if on_members else _lines(task, laid, rules)
    found = list(level_ways(runs, rules, lines))
    if not found:
        raise not_level(task)
    best = weighing_of(task, runs, rules, on_members=False).least(found)
    return Arrangement(
        joints=best.joints,
        rules=rules,
        side=Side(tuple(runs), tuple(range(len(runs))), None),
        arranged=best,
        blocks=0 if on_members else sum(map(len, best.joints)),
        ways=(),
        bare=least_area(task, laid, cut.shapes),
    )


def _lines(task: Task, laid: Laid, rules: PanelRules) -> list[Joints]:
    """Lines of joints that blocks may carry over all rows."""
    low, high = min(run.low for run in laid.runs), max(run.high for run in laid.runs)
    return level_lines(low, high, [stock.length for stock in task.product.stock], rules)


def _placed(side: Side, bearings: Sequence[Bearing]) -> list[PanelRun]:
    """Runs with the stations of their joints; blocks are set out from the low end of a run."""
    if bearings:
        return list(side.runs)
    return [replace(run, stations=_steps(run)) for run in side.runs]


def _of_shorter(task: Task, runs: Sequence[PanelRun], rules: PanelRules) -> Iterator[Arranged]:
    """Ways that need no longer sheets than each length which can be bought but the longest."""
    lengths = {stock.length for stock in task.product.stock}
    for length in sorted(lengths - {rules.most}, reverse=True):
        yield from patterned(runs, replace(rules, most=length))


def _wish(task: Task, lines: Sequence[BearingLine], *, on_members: bool) -> Wish:
    rules = task.rules
    spacing = max((usual_spacing(line) for line in lines), default=0) if on_members else 0
    apart = spacing or 2 * BLOCK_STEP
    return Wish(
        PanelRules(
            max(stock.length for stock in task.product.stock),
            rules.panel_min_piece,
            rules.panel_min_bearings if on_members else 0,
            rules.panel_gap(task.product),
            rules.panel_stagger(apart),
            rules.joint_from_corner,
            rules.min_touch,
        ),
        rules.panel_end_bearing,
    )


def _runs(
    task: Task,
    laid: Laid,
    lines: Sequence[BearingLine],
    bearings: Sequence[Bearing],
    cut: Openings,
    wish: Wish,
) -> list[PanelRun]:
    """Every run with the stations at which two sheets can meet."""
    found = []
    level = _lines(task, laid, wish.rules) if task.rules.level and not bearings else []
    blocks = tuple(sorted({at for line in level for at in line}))
    for run in laid.runs:
        row, line = laid.courses[run.course - 1], lines[run.course - 1]
        able = _seats(bearings, line, row.face, wish) if bearings else blocks or _blocks(run)
        stations = tuple(at for at in able if run.low < at < run.high)
        near = wish.rules.corner
        beside = [u for u, v in cut.corners if row.low - near < v < row.high + near]
        shut = frozenset(at for at in stations if any(abs(at - u) < near for u in beside))
        found.append(
            PanelRun(
                row=run.course,
                low=run.low,
                high=run.high,
                line=line,
                stations=stations,
                breadth=breadth_of(run.polygon, _cuts(stations, wish.rules.gap)),
                shut=shut,
                bare=taken_whole(run, cut.shapes),
            )
        )
    return found


def _cuts(stations: Sequence[int], gap: int) -> list[int]:
    """Where pieces end and begin at joints."""
    return sorted({at + side for at in stations for side in (-(gap // 2), gap - gap // 2)})


def _seats(
    bearings: Sequence[Bearing], line: BearingLine, width: int, wish: Wish
) -> tuple[int, ...]:
    """Members wide and square enough for two ends with their gap (11.1)."""
    slanted = {one.number: abs(one.slant) * width / 2 for one in bearings}
    room = line.seated - (wish.rules.gap + 1) // 2 - wish.end_bearing
    return tuple(
        at
        for at, number in zip(line.stations, line.numbers, strict=True)
        if slanted[number] <= room
    )


def _blocks(run: Run) -> tuple[int, ...]:
    """Where blocks may be, set out from either end."""
    sides = run.low + run.high
    found = _steps(run)
    return tuple(sorted({*found, *(sides - at for at in found)}))


def _steps(run: Run | PanelRun) -> tuple[int, ...]:
    return tuple(range(run.low + BLOCK_STEP, run.high, BLOCK_STEP))


def _eased(
    task: Task,
    laid: Laid,
    lines: Sequence[BearingLine],
    bearings: Sequence[Bearing],
    cut: Openings,
    wish: Wish,
    said: Remarks,
) -> tuple[Wish, Side, list[Arranged]]:
    """The first single rule whose lowering lets the sheets be laid: a refusal's cure, or used."""
    for key, value, eased in _easings(wish):
        side = plainer_side(_runs(task, laid, lines, bearings, cut, eased))
        found = arrange(_placed(side, bearings), eased.rules)
        if not found:
            continue
        asked = _asked(wish, key)
        if not task.relax:
            raise blocked(task, key, value, _end_bearing(lines, wish))
        said.relaxed.append(Relaxed(RULE_OF[key], key, asked, value, (task.at,)))
        return eased, side, found
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
    found: dict[str, JsonValue] = {
        "panel_min_bearings": rules.bearings,
        "panel_min_piece": Ticks(rules.least),
        "panel_end_bearing": Ticks(wish.end_bearing),
        "panel_stagger": Ticks(rules.stagger),
    }
    return found[key]


def _end_bearing(lines: Sequence[BearingLine], wish: Wish) -> int:
    """What each of two sheets that meet square on a member bears on it (11.1)."""
    return max(0, max((line.seated for line in lines), default=0) - (wish.rules.gap + 1) // 2)
