"""What is printed on the products of a job, held against the job (27.1)."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping
from dataclasses import dataclass
from fractions import Fraction
from itertools import pairwise
from typing import Any, Final

from service.errors import Finding
from service.products.layer import AnyPlaced
from service.schemas.finishing import FinishedLayer
from service.schemas.printed import (
    PrintedAcclimation,
    PrintedBarrier,
    PrintedClearance,
    PrintedFastener,
    PrintedGap,
    PrintedSlope,
    PrintedSupports,
    PrintedWork,
    Requirement,
)
from service.takeoff.delivery import storage_of
from service.takeoff.inspecting.rows import InspectionRow, Site, Told
from service.takeoff.moisture.wood import percent
from service.units.writing import both, listed


@dataclass(frozen=True, slots=True)
class _Held:
    """A requirement held against a layer: whether it is met, and what was asked and found."""

    result: Told
    words: str


def printed_rows(site: Site) -> Iterator[InspectionRow]:
    """A row for each requirement of each product, on every layer that is made with it."""
    for product, _ in site.job.products.values():
        for one in getattr(product, "printed", None) or ():
            places = [(before, layer) for before, layer in _layers(site)
                      if product.id in _used_by(site, layer)]  # fmt: skip
            for before, layer in places:
                own = layer.laid.task.product.id == product.id
                check = _not_read if one.what == "acclimation" and not own else _CHECKS[one.what]
                yield _row(one, product.id, check(site, layer, one), layer, before)
            if not places:
                nothing = _Held("not_checkable", "No layer is made with it: see on the site.")
                yield _row(one, product.id, nothing)


def _used_by(site: Site, one: AnyPlaced) -> Iterator[str | None]:
    """Ids of the products that a layer names: its own, its fasteners, its tape, its coats."""
    layer = one.laid.task.layer
    (named, *_) = (kind.named for kind, other in site.placed if other is one)
    for way in named:
        spot: object = layer
        for key in way.split("/"):
            spot = getattr(spot, key, None)
        yield spot if isinstance(spot, str) else None
    if isinstance(layer, FinishedLayer):
        yield from (each.product for each in (*(layer.coats or ()), *(layer.beads or ())))
        yield None if layer.filler is None else layer.filler.product


def _layers(site: Site) -> Iterator[tuple[str | None, AnyPlaced]]:
    """Every layer, with the name of the one that covers it."""
    for surface in site.job.surfaces:
        layers = site.layers(surface.id)
        names = [one.laid.task.layer_id for one in layers]
        yield from zip([*names[1:], None], layers, strict=False)


def _row(
    one: Requirement,
    product: str,
    held: _Held,
    layer: AnyPlaced | None = None,
    before: str | None = None,
) -> InspectionRow:
    return InspectionRow(
        surface=None if layer is None else layer.laid.task.surface.id,
        hold_point=None if layer is None else layer.laid.task.layer_id,
        before=before,
        product=product,
        check=one.what,
        result=held.result,
        source=one.where,
        rule="27.1",
        words=held.words,
    )


def not_met(rows: list[InspectionRow]) -> Iterator[Finding]:
    """What is printed and not so."""
    for row in rows:
        if row.result == "not_met" and row.rule == "27.1":
            at = f"{row.surface}.{row.hold_point}"
            text = f"printed on {row.product} ({row.source}) and not so: {row.words}"
            yield Finding("printed-not-met", at, text, "27.1")


def _held(good: bool | None, asked: str, found: str) -> _Held:
    """Whether what was asked is so; not checkable where that is not known."""
    if good is None:
        return _Held("not_checkable", f"{asked}; {found}: see on the site.")
    return _Held("met" if good else "not_met", f"{asked}; {found}.")


def _gap(site: Site, layer: AnyPlaced, one: PrintedGap) -> _Held:
    asked = f"A gap of {both(one.least)} at walls at least"
    moving = layer.laid.moving
    if moving is None:
        return _held(None, asked, "it is not told of this layer")
    return _held(moving.gap >= one.least, asked, f"it is {both(moving.gap)}")


def _supports(site: Site, layer: AnyPlaced, one: PrintedSupports) -> _Held:
    asked = f"What bears it is {both(one.most)} on centre at most"
    lines = sorted(member.d for member in layer.laid.task.ground.bearings)
    widest = max((b - a for a, b in pairwise(lines)), default=None)
    if widest is None:
        return _held(None, asked, "fewer than two members stand behind")
    return _held(widest <= one.most, asked, f"the widest are {both(widest)} apart")


def _off_ground(site: Site, layer: AnyPlaced, one: PrintedClearance) -> _Held:
    asked = f"It is stored {both(one.least)} off the ground at least"
    clear = storage_of(site.job).practice.clear
    return _held(clear >= one.least, asked, f"stacks are set {both(clear)} off it (26.4)")


def _slope(site: Site, layer: AnyPlaced, one: PrintedSlope) -> _Held:
    least, slope = one.rise / one.run, layer.laid.task.surface.slope
    ratio = Fraction(0) if slope is None else slope.ratio
    asked = f"A pitch of {_pitch(least)} at least"
    found = "the surface lies level" if not ratio else f"it is {_pitch(ratio)}"
    return _held(ratio >= least, asked, found)


def _pitch(ratio: Fraction) -> str:
    return f"{float(12 * ratio):.4g} in 12"


def _fastener(site: Site, layer: AnyPlaced, one: PrintedFastener) -> _Held:
    wanted = [_SHANKS[one.shank]] if one.shank else []
    wanted += [f"{both(one.least)} long at least"] if one.least else []
    asked = f"Fasteners {listed(wanted)}"
    rows = site.fastened(layer)
    if not rows or any(row.product is None or row.reach is None for row in rows):
        return _held(None, asked, "which are used is not told")
    shanks = {getattr(site.job.products[row.product or ""][0], "shank", None) for row in rows}
    shortest = min(row.reach.length for row in rows if row.reach is not None)
    good = (one.shank is None or shanks == {one.shank}) and shortest >= (one.least or 0)
    used = listed(sorted(_SHANKS.get(str(shank), "of another make") for shank in shanks))
    return _held(good, asked, f"those used are {used}, the shortest {both(shortest)}")


_SHANKS: Final = {
    "smooth": "with a smooth shank", "ring": "with a ring shank", "screw": "that are screws",
}  # fmt: skip


def _not_read(site: Site, layer: AnyPlaced, one: PrintedAcclimation) -> _Held:
    """How what a layer is made with was brought to its moisture: that is told of boards alone."""
    return _held(None, _brought(one), "nobody has read it")


def _acclimation(site: Site, layer: AnyPlaced, one: PrintedAcclimation) -> _Held:
    asked = _brought(one)
    case = None if site.job.moisture is None else site.job.moisture.case(layer.laid)
    if case is None:
        return _held(None, asked, "nobody has read it")
    wood, now = case.boards.wood, case.boards.wood.content
    if one.hours and not wood.visits:
        return _held(
            None, asked, f"it has {percent(now)}, and nobody says how long it has lain there"
        )
    lain = wood.visits[-1].hours - wood.visits[0].hours if wood.visits else 0
    good = (one.mc_least or 0) <= now <= (100 if one.mc_most is None else one.mc_most)
    return _held(
        good and lain >= (one.hours or 0), asked, f"it has {percent(now)} after {lain} hours"
    )


def _brought(one: PrintedAcclimation) -> str:
    wanted = [f"{one.hours} hours where it will live"] if one.hours else []
    wanted += [f"{percent(one.mc_least)} of moisture at least"] if one.mc_least is not None else []
    wanted += [f"{percent(one.mc_most)} of moisture at most"] if one.mc_most is not None else []
    return f"Before it goes up, {listed(wanted)}"


def _barrier(site: Site, layer: AnyPlaced, one: PrintedBarrier) -> _Held:
    """A barrier is what comes in rolls, and lies behind the layer."""
    layers = site.layers(layer.laid.task.surface.id)
    behind = [other.laid.task for other in layers[: layers.index(layer)]]
    rolls = [task.layer_id for task in behind if task.product.form == "roll"]
    found = f"{rolls[-1]} lies there" if rolls else "no layer of wrap lies behind it"
    return _held(bool(rolls), "A barrier against water behind it", found)


def _site_work(site: Site, layer: AnyPlaced, one: PrintedWork) -> _Held:
    if one.what == "priming":
        return _held(None, "Primed on all sides before it goes up", "nothing here says so")
    cut = len(layer.pieces)
    return _held(None, "Every cut end is sealed", f"{cut} pieces are cut")


_CHECKS: Final[Mapping[str, Callable[[Site, AnyPlaced, Any], _Held]]] = {  # each takes its own
    "gap": _gap,
    "supports": _supports,
    "off_ground": _off_ground,
    "slope": _slope,
    "fastener": _fastener,
    "acclimation": _acclimation,
    "barrier_behind": _barrier,
    "cut_ends": _site_work,
    "priming": _site_work,
}
"""How each requirement is held against a layer, by what it is about."""
