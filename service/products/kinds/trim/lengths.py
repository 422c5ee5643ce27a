"""The lengths of trim: what is cut of each, and where it is joined if no stick gives it (17.4)."""

from __future__ import annotations

from dataclasses import replace

from service.geometry.walls import Wall, mitre
from service.layout.scarfs import Line
from service.products.goods.moulding.needs import Wanted
from service.products.kinds.trim.ends import Ends
from service.products.kinds.trim.records import STOPS, TrimLength
from service.products.kinds.trim.rulings import Task
from service.products.kinds.trim.section import angle_of_joints, section_of, trimming_of
from service.products.stock import longest_cut
from service.units.ticks import up


def length_of(task: Task, number: int, wall: Wall, ends: Ends, opening: str | None) -> TrimLength:
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
    out = section_of(task).thickness if task.layer.board == "lapping" else 0
    return TrimLength(number, wall, ends, opening, wanted, borne, out)


def _line(task: Task, wall: Wall, ends: Ends) -> Line:
    """What is cut of one length; half of what a scarf laps is what a saw can be set to (7.1).

    No piece is shorter than its two scarfs.
    """
    rules, product = task.rules, task.product
    rows = [row for row in product.rows if row.on_hand != 0 and not row.is_owned]
    lap = up(mitre(product.thickness, angle_of_joints(task)), 2 * rules.cut_to)
    return Line(
        length=wall.length,
        adds=(ends[0].adds, ends[1].adds),
        usable=longest_cut(rows or product.rows, trimming_of(task)),
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
