"""Coats, sealant and glue over what is placed: what is covered and filled, and what it takes."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from fractions import Fraction
from typing import Protocol, runtime_checkable

from service.errors import Basis
from service.order.shares import shared_out
from service.products.goods.coating import FORM as COATING
from service.products.goods.coating.spec import CoatingProduct
from service.products.goods.sealant import FORM as SEALANT
from service.products.goods.sealant.spec import SealantProduct
from service.products.layer import AnyPlaced, AnyTask
from service.products.liquid_rows import Coated, Filled, LiquidRow, Plugged
from service.products.remarks import Remarks
from service.products.rows import FastenerRow
from service.products.supplied import Supplied
from service.schemas.finishing import Bead, Coat, Filler, FinishedLayer
from service.standards import loader
from service.takeoff.beaded import length_along
from service.takeoff.faces import face_in_view, hidden_by_beams
from service.units.ticks import ceiling, whole
from service.units.volumes import QUARTER_PI
from service.units.writing import counted

Bought = dict[tuple[str, str], int]
"""Length bought for each layer, by surface and layer, ticks."""


@runtime_checkable
class Cut(Protocol):
    """A product that has four sides."""

    thickness: int

    @property
    def laid_width(self) -> int:
        """Ticks across it, over all."""


@dataclass(slots=True)
class Finishing:
    """The rows of all layers, and what they rest on."""

    rows: list[LiquidRow]
    basis: dict[tuple[str, str], Basis]
    hidden: Mapping[str, int]

    def note(self, at: str, rule: str, key: str, value: str | float, source: str) -> None:
        """Enter a value in the basis."""
        self.basis[at, key] = Basis(at, rule, key, value, source)


def finished(
    placed: Sequence[AnyPlaced],
    supplied: Sequence[Supplied],
    fasteners: Sequence[FastenerRow],
    cut_ends: Sequence[tuple[AnyTask, int]],
    said: Remarks,
) -> tuple[tuple[LiquidRow, ...], tuple[Basis, ...]]:
    """Every coat, bead and filled hole of every layer, and what they rest on (20.1 to 20.5).

    With those of layers that are up and have so many ends cut in place, and nothing laid.
    """
    made, bought = Finishing([], {}, hidden_by_beams(placed)), _bought(supplied)
    for one in placed:
        layer = one.laid.task.layer
        if isinstance(layer, FinishedLayer):
            for number, coat in enumerate(layer.coats or ()):
                made.rows.append(_coat(made, one, coat, number, bought))
            for bead in layer.beads or ():
                made.rows += _bead(made, one, bead, said)
            if layer.filler is not None:
                made.rows += _filled(made, one, layer.filler, fasteners)
    made.rows += (row for task, count in cut_ends for row in _on_cut_ends(made, task, count))
    return tuple(made.rows), tuple(made.basis[key] for key in sorted(made.basis))


def _bought(supplied: Sequence[Supplied]) -> Bought:
    """What is bought and used of the caller's own, by layer, in proportion to what is placed."""
    found: Bought = {}
    for made in supplied:
        whole_length = made.owned_length + sum(
            (row.length or 0) * row.bought.buy for row in made.order
        )
        placed: Counter[tuple[str, str]] = Counter()
        for one in made.placed:
            task = one.laid.task
            own = (row.cut for row in one.pieces if row.product == made.product)
            placed[task.surface.id, task.layer_id] += sum(own)
        shares = shared_out(whole_length, list(placed.values()))
        for place, share in zip(placed, shares, strict=True):
            found[place] = found.get(place, 0) + share
    return found


def _coat(made: Finishing, one: AnyPlaced, coat: Coat, number: int, bought: Bought) -> LiquidRow:
    """One entry of `coats`: its area, and what all its coats take."""
    on_all = coat.on == "all_sides"
    measured = _all_sides(made, one, coat, bought) if on_all else _face(made, one, coat)
    return _coated(made, one.laid.task, coat, number, measured)


def _on_cut_ends(made: Finishing, task: AnyTask, count: int) -> Iterator[LiquidRow]:
    """Coats on all sides of what is up, on so many ends that were cut in place (20.1)."""
    product, layer = task.product, task.layer
    coats = layer.coats if isinstance(layer, FinishedLayer) else None
    for number, coat in enumerate(coats or ()):
        if coat.on == "all_sides":
            assert isinstance(product, Cut), f"{product.id} has no section"
            twice = 2 * product.thickness * product.laid_width * count
            measured = (
                twice * _end_grain(made, task, coat),
                f"{counted(count, 'ends')} cut in place",
            )
            yield _coated(made, task, coat, number, measured)


def _coated(
    made: Finishing, task: AnyTask, coat: Coat, number: int, measured: tuple[int, str]
) -> LiquidRow:
    """What all coats of an entry take on the area that was `measured`, and how it was."""
    spec, _ = task.named(coat.product, CoatingProduct)
    twice, counted = measured
    times = coat.coats or 1
    raw = coat.raw if coat.raw is not None else number == 0
    share = _raw_spread(made, spec) if raw else Fraction(1)
    made.note(spec.id, "20.3", "spread", spec.spread.written, "product")
    once = Fraction(twice, 2) / spec.spread.by_volume
    return LiquidRow(
        surface=task.surface.id,
        layer=task.layer_id,
        product=spec.id,
        use="coat",
        where=(coat.on or "face").replace("_", " "),
        times=times,
        area=twice,
        length=None,
        cubic_ticks=ceiling(once / share + once * (times - 1)),
        loss=Fraction(0),
        counted=counted,
        worked=Coated(spec.spread.by_volume, share),
    )


def _raw_spread(made: Finishing, spec: CoatingProduct) -> Fraction:
    """The share of its spread that a coating covers on raw wood (20.3)."""
    usual = Fraction(loader.read(COATING.defaults_path)["raw_spread"]["number"])
    percent = usual if spec.raw_spread is None else spec.raw_spread
    source = "default" if spec.raw_spread is None else "product"
    made.note(spec.id, "20.3", "raw_spread", float(percent), source)
    return percent / 100


def _all_sides(made: Finishing, one: AnyPlaced, coat: Coat, bought: Bought) -> tuple[int, str]:
    """Twice the area of every side of what is bought, and of the cut ends of each piece (20.1)."""
    task = one.laid.task
    product = task.product
    assert isinstance(product, Cut), f"{product.id} has no section"
    times = _end_grain(made, task, coat)
    width, thick = product.laid_width, product.thickness
    sides = 2 * (width + thick) * bought[task.surface.id, task.layer_id]
    own = (row.cut_width or width for row in one.pieces if row.product == product.id)
    cut = 0 if task.standing is None else task.standing.cut_ends
    ends = thick * (2 * sum(own) + width * cut) * times
    also = f", and {counted(cut, 'ends')} cut in place" if cut else ""
    return 2 * (sides + ends), f"length bought x girth, and both ends of each piece{also}"


def _end_grain(made: Finishing, task: AnyTask, coat: Coat) -> int:
    """How many times the area of an end is coated, for it drinks (20.1)."""
    usual: int = loader.read(COATING.defaults_path)["end_grain"]["count"]
    times = usual if coat.end_grain is None else coat.end_grain
    made.note(task.at, "20.1", "end_grain", times, "default" if coat.end_grain is None else "layer")
    return times


def _face(made: Finishing, one: AnyPlaced, coat: Coat) -> tuple[int, str]:
    """Twice the area in view, followed over its profile (20.1, 20.2)."""
    task = one.laid.task
    usual = Fraction(loader.read(COATING.defaults_path)["deduct_over"]["number"])
    over = usual if coat.deduct_over is None else coat.deduct_over
    twice, counted, deducts = face_in_view(one, over, made.hidden[task.surface.id])
    if deducts:
        source = "default" if coat.deduct_over is None else "layer"
        made.note(task.at, "20.2", "deduct_over", float(over), source)
    profile = Fraction(1) if coat.profile is None else coat.profile
    made.note(
        task.at, "20.1", "profile", float(profile), "default" if coat.profile is None else "layer"
    )
    return whole(twice * profile), counted


def _bead(made: Finishing, one: AnyPlaced, bead: Bead, said: Remarks) -> Iterator[LiquidRow]:
    """One entry of `beads`; none where there is nothing that it could run along."""
    task = one.laid.task
    spec, _ = task.named(bead.product, SealantProduct)
    length, counted = length_along(one, bead.along, said)
    if not length:
        return
    times = bead.beads or 1
    section = Filled(bead.width, bead.depth, Fraction(1, 2 if bead.fillet else 1))
    yield LiquidRow(
        surface=task.surface.id,
        layer=task.layer_id,
        product=spec.id,
        use="bead",
        where=bead.along,
        times=times,
        area=None,
        length=length,
        cubic_ticks=ceiling(length * times * section.width * section.depth * section.share),
        loss=_lost(made, spec) / 100,
        counted=counted,
        worked=section,
    )


def _filled(
    made: Finishing, one: AnyPlaced, filler: Filler, fasteners: Sequence[FastenerRow]
) -> Iterator[LiquidRow]:
    """The round holes over all fasteners in the face of a layer; none where there are none."""
    task = one.laid.task
    spec, _ = task.named(filler.product, SealantProduct)
    place = task.surface.id, task.layer_id
    holes = sum(
        row.count for row in fasteners if row.place == "face" and (row.surface, row.layer) == place
    )
    if holes:
        yield LiquidRow(
            surface=task.surface.id,
            layer=task.layer_id,
            product=spec.id,
            use="fill",
            where="face",
            times=holes,
            area=None,
            length=None,
            cubic_ticks=ceiling(holes * QUARTER_PI * filler.width**2 * filler.depth),
            loss=_lost(made, spec) / 100,
            counted="holes of fasteners in the face",
            worked=Plugged(filler.width, filler.depth),
        )


def _lost(made: Finishing, spec: SealantProduct) -> Fraction:
    """Per cent that stays in tubes and nozzles (20.4)."""
    usual = Fraction(loader.read(SEALANT.defaults_path)["sealant_loss"]["number"])
    percent = usual if spec.loss is None else spec.loss
    made.note(
        spec.id, "20.4", "loss", float(percent), "default" if spec.loss is None else "product"
    )
    return percent
