"""A client that draws: polygons from the members of the JSON answer alone, in the caller's unit.

It knows the published document and nothing of the service: no request, no rule, no default.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from typing import Any

from shapely.affinity import affine_transform
from shapely.geometry import LineString, Point, Polygon, box
from shapely.geometry.base import BaseGeometry
from shapely.ops import unary_union

Row = Mapping[str, Any]


def even_odd(rings: Sequence[Sequence[Sequence[float]]]) -> BaseGeometry:
    """The area of rings of which one in another is no part of it."""
    area: BaseGeometry = Polygon()
    for ring in rings:
        area = area.symmetric_difference(Polygon(ring).buffer(0))
    return area


def parts(area: BaseGeometry) -> list[BaseGeometry]:
    """The separate polygons of an area; none of what has no area."""
    found = list(getattr(area, "geoms", [area]))
    return [one for one in found if one.area > 0]


def pick(answer: Row, table: str, surface: str, layer: str | None = None) -> list[Row]:
    """The rows of a table that belong to a surface, or to one of its layers."""
    return [
        row
        for row in answer[table]
        if row["surface"] == surface and layer in (None, row.get("layer"))
    ]


def outline(answer: Row, surface: str) -> BaseGeometry:
    """The outline of a surface."""
    (row,) = pick(answer, "surfaces", surface)
    return Polygon(row["outline"])


def member_line(row: Row) -> LineString:
    """The centre line of a member."""
    return LineString(row["line"])


def joints_off_members(answer: Row, surface: str, layer: str) -> list[tuple[Row, float]]:
    """Joints with a `bearing`, and how far each is from the centre line of the member it names.

    It lands on that at the middle of its course.
    """
    (frame,) = pick(answer, "layers", surface, layer)
    courses = {row["course"]: row for row in pick(answer, "courses", surface, layer)}
    lines = {row["member"]: member_line(row) for row in pick(answer, "members", surface)}
    found = []
    for joint in pick(answer, "joints", surface, layer):
        if joint["bearing"] is not None:
            course = courses[joint["course"]]
            middle = Point(joint["at"], (course["near"] + course["far"]) / 2)
            line = lines[frame["crosses"][joint["bearing"] - 1]]
            found.append((joint, in_plane(frame, middle).distance(line)))
    return found


def pieces(answer: Row, surface: str, layer: str) -> dict[str, BaseGeometry]:
    """What shows of each piece of a layer, by its id, in the plane of the surface."""
    (frame,) = pick(answer, "layers", surface, layer)
    rows = pick(answer, "pieces", surface, layer)
    made = {row["id"]: in_plane(frame, in_stations(row)) for row in rows}
    if frame["kind"] != "wrap":
        return made
    open_to = outline(answer, surface).difference(cut(answer, surface, layer))
    return shown(made, open_to)


def cut(answer: Row, surface: str, layer: str) -> BaseGeometry:
    """What is cut out of a layer for openings."""
    rows = pick(answer, "openings", surface, layer)
    return unary_union([even_odd(row["cut"]) for row in rows])


def in_stations(piece: Row) -> BaseGeometry:
    """A piece as cut, in stations."""
    if piece["shape"]:
        return even_odd(piece["shape"])
    near, far = sorted((piece["near"], piece["far"]))
    return box(piece["from"], near, piece["to"], far)


def in_plane(frame: Row, area: BaseGeometry) -> BaseGeometry:
    """What lies in stations of a layer, as the surface has it."""
    (x, y), (ux, uy), (vx, vy) = frame["origin"], frame["along"], frame["across"]
    return affine_transform(area, [ux, vx, uy, vy, x, y])


def shown(areas: Mapping[str, BaseGeometry], inside: BaseGeometry) -> dict[str, BaseGeometry]:
    """Of pieces that lap, what lies in `inside` and under no piece before."""
    before: BaseGeometry = Polygon()
    found = {}
    for name, area in areas.items():
        found[name] = area.difference(before).intersection(inside)
        before = unary_union([before, area])
    return found


PLACES = {
    "surfaces": ("outline", "beside"),
    "layers": ("origin",),
    "members": ("line",),
    "openings": ("drawn", "cut"),
    "backing": ("from", "to"),
    "shims": ("at",),
    "trim_lengths": ("from", "to"),
    "beams": ("from", "to"),
    "bays": ("from", "to"),
}
"""Members that say where something lies in the plane of its surface."""


def placeless(answer: Row) -> dict[str, Any]:
    """The answer without what depends on where its surfaces are drawn from."""
    return {
        table: [
            {key: value for key, value in row.items() if key not in PLACES[table]} for row in rows
        ]
        if table in PLACES
        else rows
        for table, rows in answer.items()
        if table != "request"
    }


def places(answer: Row) -> list[float]:
    """All that lies in the plane of a surface, from the first corner of that, one after another."""
    corners = {row["surface"]: row["outline"][0] for row in answer["surfaces"]}
    return [
        at - corners[row["surface"]][axis]
        for table, keys in PLACES.items()
        for row in answer[table]
        for key in keys
        for point in _points(row[key])
        for axis, at in enumerate(point)
    ]


def _points(value: Sequence[Any] | Row) -> Iterator[Sequence[float]]:
    """The points of a point, a line, a ring or rings, or of what has a line among its members."""
    if isinstance(value, Mapping):
        value = [one for one in value.values() if not isinstance(one, str)]
    if isinstance(value[0] if value else 0, (int, float)):
        if value:
            yield value
        return
    for inner in value:
        yield from _points(inner)
