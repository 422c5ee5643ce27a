"""What is looked at of any job: framing, then each layer before the next one covers it (27.2)."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator, Sequence
from typing import Final, TypeAlias

from service.fastening.reach import Reach
from service.products.backing_rows import BackingRow
from service.products.layer import AnyPlaced
from service.products.nouns import support_of
from service.products.rows import FastenerRow
from service.takeoff.inspecting.rows import InspectionRow, Site, Told
from service.units.writing import both, counted, listed

AS_TAKEN_OFF = "as taken off"


def usual_rows(site: Site) -> Iterator[InspectionRow]:
    """The rows of every surface, hold point by hold point."""
    for surface in site.job.surfaces:
        layers = site.layers(surface.id)
        if not layers:
            continue
        yield from _framing(site, surface.id, layers[0].laid.task.layer_id)
        names = [one.laid.task.layer_id for one in layers]
        for one, after in zip(layers, [*names[1:], None], strict=True):
            yield from _layer(site, one, after)


def _row(
    place: tuple[str, str, str | None], check: str, words: str, rule: str,
    result: Told = "not_checkable", product: str | None = None,
) -> InspectionRow:  # fmt: skip
    surface, hold_point, before = place
    return InspectionRow(
        surface=surface, hold_point=hold_point, before=before, product=product, check=check,
        result=result, source=AS_TAKEN_OFF, rule=rule, words=words,
    )  # fmt: skip


def _framing(site: Site, surface: str, before: str) -> Iterator[InspectionRow]:
    """Members, what must stand behind, shims, and how moist framing and boards are."""
    place = (surface, "framing", before)
    (own,) = (one for one in site.job.surfaces if one.id == surface)
    name = support_of(own.type, sloped=own.slope is not None)
    stand = counted(len(own.members), f"{name}s")
    words = f"{stand}, where the layout has them, sound and dry."
    yield _row(place, "members", words, "0.6")
    backing = [row for row in site.backing if row.surface == surface]
    if backing:
        words = f"{_kinds(backing)} stand behind, where the answer has them."
        yield _row(place, "backing", words, "15.3")
    shims = [row for row in site.shims if row.surface == surface]
    if shims:
        stand = "is set at its mark" if len(shims) == 1 else "are set at their marks"
        yield _row(place, "shims", f"{counted(len(shims), 'shims')} {stand}.", "1.5")
    if own.openings:
        names = listed([one.id for one in own.openings])
        words = f"What others put into each opening is in, or is marked: {names}."
        yield _row(place, "openings", words, "5.7")


def _kinds(backing: Sequence[BackingRow]) -> str:
    what: Counter[str] = Counter()
    for row in backing:
        what[row.what] += row.count
    return listed([counted(count, f"{name}s") for name, count in sorted(what.items())])


def _layer(site: Site, one: AnyPlaced, before: str | None) -> Iterator[InspectionRow]:
    """Its moisture before it goes up, then its gaps and fasteners."""
    task = one.laid.task
    place = (task.surface.id, task.layer_id, before)
    for check in site.moisture:
        if check.holds_up and (check.surface, check.layer) == place[:2]:
            yield _row(place, check.check, check.words, check.rule, check.result, task.product.id)
    if one.laid.moving is not None and one.laid.gaps:
        words = f"A gap of {both(one.laid.moving.gap)} is left at walls, for the boards to move."
        yield _row(place, "gap", words, "24", product=task.product.id)
        if one.laid.moving.spacer:
            words = f"Joints between courses stand open by {both(one.laid.moving.spacer)}."
            yield _row(place, "spacer", words, "2.1", product=task.product.id)
    yield from _joints(place, one)
    for product, rows in _by_product(site.fastened(one)):
        yield _row(place, "fasteners", _fastened(product, rows), "18.1", product=product)


def _joints(place: tuple[str, str, str | None], one: AnyPlaced) -> Iterator[InspectionRow]:
    """How far joints of touching courses are apart at least, as they were laid."""
    apart = [row.offset_before for row in one.joints if row.offset_before is not None]
    if apart:
        words = (
            f"{counted(len(one.joints), 'end joints')}; those side by side are "
            f"{both(min(apart))} apart at least."
        )
        yield _row(place, "joints", words, "6.5", product=one.laid.task.product.id)


Fastened: TypeAlias = Sequence[FastenerRow]


def _by_product(rows: Fastened) -> Iterator[tuple[str | None, Fastened]]:
    for product in dict.fromkeys(row.product for row in rows):
        yield product, [row for row in rows if row.product == product]


def _fastened(product: str | None, rows: Fastened) -> str:
    """So many of one product, where and how, how far apart, and how far each bites."""
    reaches = [row.reach for row in rows if row.reach is not None]
    lengths = sorted({reach.length for reach in reaches})
    named = product or "Fasteners"
    named += f" of {listed([both(length) for length in lengths])}" if lengths else ""
    parts = listed([_part(row) for row in rows])
    return f"{named}: {parts}{_bites(reaches)}."


def _bites(reaches: Sequence[Reach]) -> str:
    """How far each goes in at least: those into framing, and those that only a panel holds."""
    panel = [reach.hold for reach in reaches if reach.way.carrier == "panel"]
    framing = [reach.hold for reach in reaches if reach.way.carrier != "panel"]
    if panel and framing:
        return (
            f"; each bites {both(min(framing))} at least, off the framing {both(min(panel))} into "
            "the panel"
        )
    return f"; each bites {both(min(panel + framing))} at least" if reaches else ""


_PLACE: Final = {"blind": "in the tongue", "face": "through the face", "clip": "by clips"}
_WHERE: Final = {
    "lost tongue": "ripped edge", "line": "along members", "notch": "narrow beside cut-outs",
    "leg": "beside cut-outs, off the framing",
    "open edge": "starting edge with no board before it",
    "framed leg": "beside cut-outs, into what frames the opening",
}  # fmt: skip
"""What places of fasteners are called on the sheet."""


def _part(row: FastenerRow) -> str:
    apart = "" if row.spacing is None else f" at most {both(row.spacing)} apart"
    where = _WHERE.get(row.where, row.where)
    return f"{row.count} {_PLACE.get(row.place, row.place)} ({where}){apart}"
