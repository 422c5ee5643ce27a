"""What of the first job is up, and what of it stays: the second job, to be worked on round that."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, replace

from service.changes.matching import (
    PlacedPiece,
    framing_matched,
    is_one_line,
    matched,
    nailers_that_stay,
    placed_pieces,
)
from service.changes.naming import as_it_stays, name_of
from service.changes.reserve import reserve_of, with_reserve
from service.errors import Fault, TradeRefused
from service.geometry.rings import Line
from service.products.backing import left_to_set, straight
from service.products.backing_rows import BackingRow, backing_line
from service.products.layer import AnyLaid, AnyPlaced
from service.products.rows import PieceRow
from service.products.standing import OpenedUp, Opening, Standing, Stay, same_goods
from service.takeoff.job import Framed, Job, LayerJob, rings_of
from service.takeoff.lasting import Names, lasting
from service.takeoff.pipeline import Takeoff


@dataclass(frozen=True, slots=True)
class Opened:
    """The second job as far as it is still to be done, and what stays of the first."""

    up: frozenset[str]
    """Pieces that are up, by their names within the takeoff."""

    stays: Mapping[str, tuple[Stay, ...]]
    """What stays of each of them."""

    layers: Mapping[str, OpenedUp]
    framed: Framed | None
    reserve: Mapping[str, int]
    """How many of each product the first order has in reserve (10.2)."""

    def left(self, job: Job) -> Job:
        """The job as it is left to do: layers that are up, or stand in part, and framing."""
        job = with_reserve(job, self.reserve)
        layers = tuple(self._layer(one) for one in job.layers)
        return replace(job, layers=layers, framed=self.framed)

    def _layer(self, one: LayerJob) -> LayerJob:
        found = self.layers.get(one.task.at)
        if found is None:
            return one
        if found.complete:
            return replace(one, is_up=True, cut_ends=found.standing.cut_ends)
        return replace(one, task=replace(one.task, standing=found.standing))


NOTHING_UP = Opened(frozenset(), {}, {}, None, {})


def opened(before: Takeoff, after: Takeoff, up: frozenset[str]) -> Opened:
    """What stays of what is `up`, layer by layer; raises TradeRefused for a layer that cannot."""
    if not up:
        return NOTHING_UP
    framed, framing = _framed(before, after, up)
    laid = {one.task.at: one for one in after.laid}
    kinds = {one.task.at: one for one in after.job.layers}
    layers: dict[str, OpenedUp] = {}
    names = lasting(before)
    for placed in before.placed:
        at = placed.laid.task.at
        own = frozenset(row.id for row in placed.pieces if row.id in up)
        if own and at in laid and _alike(placed.laid, laid[at]):
            found = _opened(kinds[at], placed, laid[at], Opening(own, framing), before, after)
            layers[at] = replace(found, standing=_told(found, placed.pieces, names))
    stays: dict[str, tuple[Stay, ...]] = {}
    for one in (stay for found in layers.values() for stay in found.stays):
        stays[one.piece] = (*stays.get(one.piece, ()), one)
    framed = replace(framed, placed=tuple(_on_blocks(one, layers) for one in framed.placed))
    return Opened(up, stays, layers, framed, reserve_of(before))


def _on_blocks(placed: AnyPlaced, layers: Mapping[str, OpenedUp]) -> AnyPlaced:
    """A layer of the second job that knows which edges of patches ask for blocks."""
    found = layers.get(placed.laid.task.at)
    if found is None or not found.standing.edges:
        return placed
    task = replace(placed.laid.task, standing=Standing(edges=found.standing.edges))
    return replace(placed, laid=replace(placed.laid, task=task))


def _told(found: OpenedUp, pieces: Sequence[PieceRow], names: Names) -> Standing:
    """What stands of a layer, with the ends that are cut and the ids that are taken."""
    was = {row.id: row for row in pieces}
    taken = frozenset(
        name_of(names[one.piece], was[one.piece], as_it_stays(was[one.piece], one))
        for one in found.stays
    )
    return replace(found.standing, cut_ends=cut_ends(pieces, found.stays), names=taken)


def cut_ends(pieces: Sequence[PieceRow], stays: Sequence[Stay]) -> int:
    """How many ends of what stays are new."""
    was = {row.id: row for row in pieces}
    return sum(one.ends_cut(was[one.piece]) for one in stays)


def _alike(was: AnyLaid, now: AnyLaid) -> bool:
    """Whether a layer is of the same kind and product, so that any of it can stay."""
    before, after = was.task, now.task
    return before.layer.kind == after.layer.kind and same_goods(before.product, after.product)


def _framed(before: Takeoff, after: Takeoff, up: frozenset[str]) -> tuple[Framed, tuple[Line, ...]]:
    """The framing that stands, behind surfaces of which some is up, and lines of what changes."""
    surfaces = {row.surface for one in before.placed for row in one.pieces if row.id in up}
    kept, removed, added = framing_matched(before.backing, after.backing)
    stays, removed = nailers_that_stay(removed, after.backing, surfaces)
    stands = frozenset(
        backing_line(row) for row in (*(row for _, row in kept), *stays) if row.surface in surfaces
    )
    lines = (*((row.start, row.end) for row in removed), *_to_set(added, stays))
    rings = frozenset(ring for one in before.job.surfaces if one.id in surfaces
                      for ring in rings_of(one))  # fmt: skip
    return Framed(after.placed, stands, rings), lines


def _to_set(added: Sequence[BackingRow], stays: Sequence[BackingRow]) -> Iterator[Line]:
    """Lines of framing that are set: of nailers what goes on beyond those that stay."""
    for row in added:
        own = [(one.start, one.end) for one in stays if is_one_line(one, row)]
        new = straight(row.start, row.end, row.what, "wall")
        yield from ((part.start, part.end) for part in left_to_set(new, own))


def _opened(
    layer: LayerJob,
    placed: AnyPlaced,
    laid: AnyLaid,
    opening: Opening,
    before: Takeoff,
    after: Takeoff,
) -> OpenedUp:
    """What stays of a layer; one whose kind opens nothing stays only where nothing changes."""
    if layer.kind.open_up is not None:
        found: OpenedUp = layer.kind.open_up(placed, laid, opening)
        return found
    same = matched(*(_of(one, layer.task.at) for one in (before, after)))
    if same.removed or same.added or len(opening.up) < len(placed.pieces):
        raise TradeRefused(
            Fault(
                "cannot-be-opened",
                f"{layer.task.at} is laid otherwise by the change, or is up in part, and layers of "
                "this kind are not opened in part: leave it out of `installed`, and it is laid "
                "anew",
                layer.task.pointer,
                rule="21.4",
            )
        )
    return OpenedUp(Standing(), tuple(Stay(row.id) for row in placed.pieces), complete=True)


def _of(takeoff: Takeoff, at: str) -> Sequence[PlacedPiece]:
    return [one for one in placed_pieces(takeoff) if f"{one.row.surface}.{one.row.layer}" == at]
