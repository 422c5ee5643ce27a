"""Fasteners of the parts: skins at a spacing, cores at every member or block (16.1, 18.1)."""

from __future__ import annotations

from collections.abc import Iterator

from service.errors import Finding
from service.fastening.reach import Need, Reach, Way, reach_of
from service.fastening.spacing import points
from service.products.fasteners import holding_length, named_fastener, need_of
from service.products.goods.fastener.spec import FastenerProduct
from service.products.kinds.box_beams.ladders import END
from service.products.kinds.box_beams.records import PlacedBoxBeams
from service.products.kinds.box_beams.rulings import Task
from service.products.put_back import again
from service.products.remarks import Remarks
from service.products.rows import FastenerRow
from service.products.standing import Reopened


def fasten(placed: PlacedBoxBeams, said: Remarks) -> tuple[FastenerRow, ...]:
    """Rows of sides, of bottoms and of cores."""
    return (*_skins(placed, said), *_cores(placed, said))


def fasten_again(
    placed: PlacedBoxBeams, after: PlacedBoxBeams, opened: Reopened, said: Remarks
) -> tuple[FastenerRow, ...]:
    """Those of skins and cores that are taken off, cut and put back."""
    return tuple(again(fasten, after, opened, said))


def _skins(placed: PlacedBoxBeams, said: Remarks) -> Iterator[FastenerRow]:
    """Sides in one line into the core, bottoms in one along each edge, piece by piece (18.1)."""
    task = placed.laid.task
    spacing, end = task.rules.part_spacing, task.rules.end_distance
    named = named_fastener(task, said)
    reach = None
    if named is not None:
        spec, _ = named
        ways = [Way(task.product.thickness)]
        need = Need(_hold(task, spec.shank))
        reach = reach_of(holding_length(task, named, ways, need, said), ways[0])
    of = {f"{task.at}.{part.label}": part.name for part in placed.laid.detail.skins}
    for where, lines in (("side", 1), ("bottom", 2)):
        counts = [
            lines * points(piece.high - piece.low, spacing, end)
            for piece in placed.pieces
            if where in of.get(piece.run, "")
        ]
        if counts:
            text = "points along one line" if lines == 1 else "points along both edges"
            yield _row(task, None if named is None else named[0].id, where, spacing, sum(counts),
                       f"{text} of each piece", reach)  # fmt: skip


def _hold(task: Task, shank: str) -> int:
    """What must lie in the core, or in the edge of a side."""
    return task.rules.bite_smooth if shank == "smooth" else task.rules.bite_ring


def _cores(placed: PlacedBoxBeams, said: Remarks) -> Iterator[FastenerRow]:
    """So many at each member that a core crosses, or along one that runs with the members."""
    layer = placed.laid
    task, detail = layer.task, layer.detail
    if detail.core is None:
        return
    each = task.rules.core_fasteners
    lumber, _ = detail.core
    cores = {f"{task.at}.{part.label}" for part in detail.cores}
    own = [piece for piece in placed.pieces if piece.run in cores]
    hits = sum(piece.bearings for piece in own)
    reach, product = _core_reach(task, lumber.thickness, said)
    if hits:
        yield _row(task, product, "core", None, each * hits,
                   f"{each} at each member that a core crosses", reach)  # fmt: skip
    spacing = task.rules.ladder_spacing
    along = sum(points(piece.high - piece.low, spacing, END) for piece in own if not piece.bearings)
    if along:
        yield _row(task, product, "core along members", spacing, each * along,
                   f"{each} at each point along cores that cross no member", reach)  # fmt: skip


def _core_reach(task: Task, thickness: int, said: Remarks) -> tuple[Reach | None, str | None]:
    """How far the fasteners of cores reach; a finding where none is named for them."""
    name = task.layer.fastening.core if task.layer.fastening else None
    if name is None:
        said.find(
            Finding(
                "no-core-fastener",
                task.at,
                "no fastener is named for the cores (`fastening`, `core`): counts only, no length "
                "and no boxes",
                rule="18.11",
            )
        )
        return None, None
    named = task.named(name, FastenerProduct)
    way = Way(thickness, task.ground.plies, depth=task.ground.depth)
    need = need_of(task, named[0].shank, said)
    length = holding_length(task, named, [way], need, said)
    return reach_of(length, way), name


def _row(
    task: Task, product: str | None, where: str, spacing: int | None, count: int, counted: str,
    reach: Reach | None,
) -> FastenerRow:  # fmt: skip
    return FastenerRow(
        surface=task.surface.id, layer=task.layer_id, product=product, where=where,
        pattern="face", place="face", spacing=spacing, count=count, counted=counted, reach=reach,
    )  # fmt: skip
