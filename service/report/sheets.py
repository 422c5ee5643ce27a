"""The sheets of a takeoff whose layers are drawn."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from service.fastening.reach import Reach
from service.geometry.plane import intersection
from service.geometry.rings import Polygon, Ring
from service.geometry.surface import Member, Surface
from service.products.cut_across import Driven, Section
from service.products.drawing import DrawnLayer, Sheet, lie_of_course, station_text
from service.products.drawing import Member as DrawnMember
from service.products.layer import AnyLaid
from service.products.nouns import seen_of, support_of
from service.products.rows import FastenerRow
from service.report.backing_drawn import backing_drawn
from service.report.shims_drawn import lies_on_shims, with_shims
from service.takeoff.pipeline import Takeoff
from service.units.ticks import whole


def sheets(takeoff: Takeoff) -> list[Sheet]:
    """One sheet a surface, its layers from the framing outward, as they were drawn."""
    layers: dict[str, list[AnyLaid]] = {}
    for layer in takeoff.laid:
        layers.setdefault(layer.task.surface.id, []).append(layer)
    return [
        sheet_of(own[0].task.surface, tuple(_drawn(own, takeoff)), takeoff)
        for own in layers.values()
    ]


def _drawn(layers: Sequence[AnyLaid], takeoff: Takeoff) -> Iterator[DrawnLayer]:
    """What layers look like; one for which nothing was placed is not seen.

    Shims stand on the page of the layer that lies on the members.
    """
    surface, on_shims = layers[0].task.surface, lies_on_shims(layers)
    shims = [row for row in takeoff.shims if row.surface == surface.id]
    support = support_of(surface.type, sloped=surface.slope is not None)
    for one in (one for one in layers if one.task.at in takeoff.drawn):
        drawn = takeoff.drawn[one.task.at]
        own = shims if one.task.at == on_shims else []
        yield with_shims(drawn, own, support, takeoff.job.unit)


def sheet_of(surface: Surface, layers: tuple[DrawnLayer, ...], takeoff: Takeoff) -> Sheet:
    """The sheet of a surface with these layers."""
    unit = takeoff.job.unit
    members = [_member(surface, member, unit) for member in surface.members]
    return Sheet(
        surface=surface.id,
        title=surface.type,
        outline=(surface.outline,),
        openings=tuple(_openings(surface)),
        members=tuple(member for member in members if member is not None),
        layers=layers,
        view_note=seen_of(surface.type),
        unit=unit,
        section=_section(surface, takeoff),
        backing=backing_drawn(
            [row for row in takeoff.backing if row.surface == surface.id], surface.outline, unit
        ),
        known=tuple(DrawnMember(one.start, one.end, one.beside or "") for one in surface.known),
        support=support_of(surface.type, sloped=surface.slope is not None),
    )


def _openings(surface: Surface) -> Iterator[tuple[str, Ring]]:
    """What of each opening lies in the outline: its largest part, where it lies in several."""
    outline = (Polygon(surface.outline),)
    for opening in surface.openings:
        inside = intersection(opening.drawn, outline) if opening.crosses_edge else opening.drawn
        if inside:
            yield opening.id, max(inside, key=lambda part: part.twice_area).outer


def _section(surface: Surface, takeoff: Takeoff) -> Section | None:
    """What a section shows besides the layers; None where nothing was named to fasten them.

    Trim has no slice in it: it lies along the edges.
    """
    driven: dict[tuple[str, str], Driven] = {}
    sliced = {at for at, layer in takeoff.drawn.items() if layer.cut is not None}
    for row in takeoff.fasteners:
        own = row.surface == surface.id and f"{row.surface}.{row.layer}" in sliced
        if own and row.reach is not None and row.where != "backing":
            driven.setdefault((row.layer, row.place), _driven(row, row.reach))
    if not driven:
        return None
    return Section(surface.shim, surface.backing or 0, tuple(driven.values()))


def _driven(row: FastenerRow, reach: Reach) -> Driven:
    return Driven(
        layer=row.layer,
        place=row.place,
        product=row.product or "",
        length=reach.length,
        hold=reach.hold,
        depth=reach.depth,
        entry=reach.way.entry,
        lean=float(reach.way.lean),
    )


def _member(surface: Surface, member: Member, unit: str) -> DrawnMember | None:
    """A centre line from edge to edge of the outline's box, labelled with its station.

    One that lies oblique to the drawing has none: no tape finds where its station begins.
    """
    xs = [x for x, _ in surface.outline]
    ys = [y for _, y in surface.outline]
    low, high, near, far = min(xs), max(xs), min(ys), max(ys)
    points = []
    if member.b:
        for x in (low, high):
            at = (member.d - member.a * x) / member.b
            if near <= at <= far:
                points.append((x, whole(at)))
    if member.a:
        for y in (near, far):
            at = (member.d - member.b * y) / member.a
            if low <= at <= high:
                points.append((whole(at), y))
    ends = sorted(set(points))
    if len(ends) < 2:
        return None
    start = ends[0]
    if lie_of_course(start, ends[-1]) == "oblique":
        return DrawnMember(start, ends[-1], "")
    across = abs(member.a) > abs(member.b)
    station = start[0] - low if across else start[1] - near
    return DrawnMember(start, ends[-1], station_text(station, unit))
