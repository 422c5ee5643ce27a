"""Where trim runs: along walls between their corners, or round openings, and where it is joined."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import replace
from fractions import Fraction
from itertools import pairwise

from service.errors import Fault, TradeRefused
from service.geometry.edges import Edge, Side, sides_of
from service.geometry.frame import frame_of
from service.geometry.plane import difference, union
from service.geometry.rings import Region
from service.geometry.walls import Wall, mitre, walls_of
from service.layout.scarfs import Line
from service.products.gaps import Cover
from service.products.goods.moulding.needs import Wanted
from service.products.ground import Offered
from service.products.kinds.trim.across import lines_across, offered_across
from service.products.kinds.trim.ends import (
    Ends,
    butted_along,
    ends_along,
    round_corner,
)
from service.products.kinds.trim.findings import say_over_layers, say_what_was_laid
from service.products.kinds.trim.frames import round_openings
from service.products.kinds.trim.let_in import offered_let_in
from service.products.kinds.trim.records import STOPS, LaidTrim, Trim, TrimLength
from service.products.kinds.trim.rulings import Task
from service.products.kinds.trim.section import (
    angle_of_joints,
    check_section,
    section_of,
    squared_off,
)
from service.products.kinds.trim.set_in import check_room, check_slot, is_set_in, offered, room
from service.products.layer import Areas, LaidLayer
from service.products.remarks import Remarks
from service.units.ticks import up
from service.units.writing import both

UNTRIMMED = frozenset({
    "bare", "tight", "mitre", "inside_first", "inside_second", "outside_lapping",
    "outside_butting", "outside_mitred", "overhang",
})  # fmt: skip
"""Edges at which nothing is covered, and corners of walls, whose boards meet."""

Placed = tuple[Wall, Ends, str | None]
"""A wall with its ends, and the opening that it is a side of."""


def lay(task: Task, said: Remarks) -> LaidTrim:
    """Every length of a layer, each with its ends and its joints.

    Raises TradeRefused where an edge or an opening that is named is not there to be trimmed.
    """
    check_section(task)
    framed, set_in = task.layer.around == "openings", is_set_in(task)
    wide = section_of(task).width if framed or set_in else _reach(task)
    placed = _placed(task, said, wide)
    lengths = tuple(_length(task, number, *one) for number, one in enumerate(placed, start=1))
    kept = task.standing.kept if task.standing is not None else frozenset()
    trim = Trim(
        frame=frame_of(task.surface.outline, Fraction(0)),
        lengths=tuple(one for one in lengths if one.known_by not in kept),
        up=tuple(one for one in lengths if one.known_by in kept),
        wide=wide,
        start_is_left=framed or task.surface.type not in ("floor", "deck"),
    )
    say_what_was_laid(task, said, trim)
    strips = [strip for one in lengths for strip in one.strips(wide)]
    if set_in:
        check_slot(task)
        if task.layer.across is None:
            check_room(task, strips)
        say_over_layers(task, said)
    covered = sum(strip.twice_area for one in trim.lengths for strip in one.strips(wide))
    return LaidLayer(
        task=task,
        direction=Fraction(0),
        frame=trim.frame,
        areas=Areas(covered, covered),
        openings=(),
        courses=(),
        alternatives=(),
        detail=trim,
        offered=_offered(task, lengths, wide),
        along_edges=True,
        covers=() if framed or set_in else tuple(_covers(lengths, wide)),
    )


def _placed(task: Task, said: Remarks, wide: int) -> list[Placed]:
    """Every length with its ends, wherever the layer's trim runs."""
    if task.layer.around == "openings":
        return round_openings(task, said, wide)
    if task.layer.across is None:
        return _along_walls(task, wide)
    return [(wall, ends, None) for wall, ends in lines_across(task)]


def _offered(task: Task, lengths: Sequence[TrimLength], wide: int) -> Offered:
    """What trim takes away of the surface for what is laid after it; most trim nothing."""
    if task.layer.across is not None:
        return offered_across(task)
    if task.layer.from_edge is not None:
        return offered(task, _named_edges(task))
    return offered_let_in(task, lengths, wide)


def _covers(lengths: tuple[TrimLength, ...], wide: int) -> Iterator[Cover]:
    """The sides of the walls along which trim runs."""
    for one in lengths:
        yield from (Cover(line, wide) for line in pairwise(one.wall.points))


def _reach(task: Task) -> int:
    """How far trim along walls reaches over the surface; a board that butts is ripped (17.7)."""
    section = section_of(task)
    if task.layer.board is None:
        return section.reach
    wide = section.width - (section.thickness if task.layer.board == "butting" else 0)
    if wide <= 0:
        text = (
            f"a corner board {both(section.width)} wide has nothing left when its thickness, "
            f"{both(section.thickness)}, is ripped off it"
        )
        raise TradeRefused(
            Fault("board-narrow", text, f"{task.product_pointer}/width", rule="17.7")
        )
    return wide


def _along_walls(task: Task, wide: int) -> list[Placed]:
    """Ring by ring, what is asked for of the walls round what is there to be laid on.

    An opening that reaches an edge is a notch of the outline, and trim runs round it (1.1).
    """
    rules, asked = task.rules, _asked(task)
    parts, edges = _beside(task)
    over, inside = float(rules.corner_over), rules.inside
    found: list[Placed] = []
    for ring in (ring for part in parts for ring in part.rings):
        sides = sides_of(ring, edges)
        walls = walls_of(sides, [_is_trimmed(side, asked) for side in sides])
        plain = (
            butted_along(walls, wide, over)
            if inside == "butted"
            else ends_along(walls, wide, over, coped=inside == "coped")
        )
        ends = [_round_corners(task, *one) for one in zip(walls, plain, strict=True)]
        found += [
            (wall, own, None)
            for wall, own in zip(walls, ends, strict=True)
            if wall.length + own[0].adds + own[1].adds >= rules.cut_to  # less is no piece
        ]
    return found


def _round_corners(task: Task, wall: Wall, ends: Ends) -> Ends:
    """The ends of trim on a wall, where that turns a corner into the next one (3.16)."""
    if task.surface.type != "wall":
        return ends
    behind, thick = task.ground.thick, section_of(task).thickness
    first, last = (round_corner(end, corner, behind, thick)
                   for end, corner in zip(ends, wall.corners, strict=True))  # fmt: skip
    return first, last


def _beside(task: Task) -> tuple[Region, tuple[Edge, ...]]:
    """What trim runs round, and its edges: the surface, or what lies inside a strip set into it."""
    surface = task.surface
    if task.layer.from_edge is not None:
        return room(task, _named_edges(task))
    notches = union(one.drawn for one in surface.openings if one.crosses_edge)
    return (difference(surface.clear, notches) if notches else surface.clear), surface.sides


def _named_edges(task: Task) -> frozenset[int]:
    """The numbers of the edges along which a strip is set in."""
    return frozenset(task.layer.edges or ())


def _asked(task: Task) -> frozenset[int] | None:
    """The numbers of the edges that are asked for; None for all that are covered."""
    if task.layer.edges is None:
        return None
    there = {edge.number for edge in task.surface.sides}
    faults = [
        Fault(
            "no-such-edge",
            f"the outline has no edge {number}: its edges are 0 to {max(there)}",
            f"{task.pointer}/edges/{k}",
            rule="17.1",
        )
        for k, number in enumerate(task.layer.edges)
        if number not in there
    ]
    if faults:
        raise TradeRefused(*faults)
    return frozenset(task.layer.edges)


def _is_trimmed(side: Side, asked: frozenset[int] | None) -> bool:
    if asked is None:
        return side.edge is None or side.edge.what not in UNTRIMMED
    return side.edge is not None and side.edge.number in asked


def _length(task: Task, number: int, wall: Wall, ends: Ends, opening: str | None) -> TrimLength:
    """One length, and where it may be joined if no stick gives it whole."""
    line = _line(task, wall, ends)
    wanted = Wanted(
        name=f"{task.at}.{number}.1",
        line=line,
        stopped=all(end.meets in STOPS for end in ends),
    )
    borne = True
    if not line.is_whole:
        wanted, borne = _joined(task, wall, wanted)
    return TrimLength(number, wall, ends, opening, wanted, borne)


def _line(task: Task, wall: Wall, ends: Ends) -> Line:
    """What is cut of one length; half of what a scarf laps is what a saw can be set to (7.1).

    No piece is shorter than its two scarfs.
    """
    rules, product = task.rules, task.product
    rows = [row.length for row in product.rows if row.on_hand != 0 and not row.is_owned]
    longest = max(rows, default=max(row.length for row in product.rows))
    lap = up(mitre(product.thickness, angle_of_joints(task)), 2 * rules.cut_to)
    return Line(
        length=wall.length,
        adds=(ends[0].adds, ends[1].adds),
        usable=longest - squared_off(task),
        lap=lap,
        least=max(rules.min_piece, 2 * lap),
    )


def _joined(task: Task, wall: Wall, wanted: Wanted) -> tuple[Wanted, bool]:
    """Where a length may be joined, and whether members carry that (17.4)."""
    ground, line = task.ground, wanted.line
    places = line.places_on(wall.meets(ground.bearings))
    fewest = line.fewest(places)
    if fewest is not None:
        return replace(wanted, places=places, joints=fewest), True
    tries = line.free_places()
    carried = ground.backing is not None or wall.lies_along(ground.bearings, section_of(task).reach)
    return (
        replace(wanted, places=tries, joints=line.fewest(tries) or 0, free=True),
        carried,
    )
