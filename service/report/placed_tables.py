"""The tables of what is placed: surfaces, layers, members, openings, courses, runs, pieces."""

from __future__ import annotations

from collections import Counter
from typing import Any

from service.geometry.members import numbered
from service.layout.bearings import bearings_of
from service.products.laid_rows import CourseRow, MemberRow, OpeningRow
from service.products.layer import AnyLaid
from service.products.rows import Cutout, JointRow, PieceRow, RunRow
from service.report.names import Names, label
from service.report.scale import Scale
from service.takeoff.pipeline import Takeoff


def surfaces_table(takeoff: Takeoff, scale: Scale) -> list[dict[str, Any]]:
    """One row a surface; installed and gaps are those of its outermost layer."""
    rows = {}
    for layer in takeoff.laid:
        surface = layer.task.surface
        rows[surface.id] = {
            "surface": surface.id,
            "type": surface.type,
            "gross": scale.area(surface.gross),
            "openings": scale.area(surface.gross - surface.net),
            "net": scale.area(surface.net),
            "gaps": scale.area(surface.net - layer.areas.installed),
            "installed": scale.area(layer.areas.installed),
            "perimeter": scale.length(surface.perimeter),
            "outline": scale.ring(surface.outline),
        }
    return list(rows.values())


def layers_table(takeoff: Takeoff, scale: Scale) -> list[dict[str, Any]]:
    """One row a layer, in the request's order."""
    pieces, crossings = Counter[tuple[str, str]](), Counter[tuple[str, str]]()
    for piece in (row for _, one in takeoff.placed for row in one.pieces):
        pieces[piece.surface, piece.layer] += 1
        crossings[piece.surface, piece.layer] += piece.bearings
    return [
        {
            "surface": layer.task.surface.id, "layer": layer.task.layer_id,
            "kind": layer.task.layer.kind, "product": layer.task.product.id,
            "direction": round(float(layer.direction), 6),
            **_frame(scale, layer),
            "installed": scale.area(layer.areas.installed), "courses": len(layer.courses),
            "pieces": pieces[layer.task.surface.id, layer.task.layer_id],
            "crossings": crossings[layer.task.surface.id, layer.task.layer_id],
        }
        for layer in takeoff.laid
    ]  # fmt: skip


def _frame(scale: Scale, layer: AnyLaid) -> dict[str, Any]:
    """Where the stations of a layer begin and which way they run, and the members it crosses.

    What bears on lines that a layer behind offers crosses those, in that layer's own order.
    """
    surface, frame, lines = layer.task.surface, layer.frame, layer.task.ground.bearings
    numbers = {k: k + 1 for k in range(len(lines))}
    if lines is surface.members:
        numbers = {one.index: one.number for one in numbered(surface)}
    return {
        "origin": scale.point(frame.back((0, 0))),
        "along": [round(part, _OF_UNIT) for part in frame.along],
        "across": [round(part, _OF_UNIT) for part in frame.across],
        "crosses": [numbers[one.member] for one in bearings_of(lines, frame)],
    }


_OF_UNIT = 12
"""Decimals of a unit vector: over the longest surface they stray by far less than a tick."""


def member_row(scale: Scale, row: MemberRow) -> dict[str, Any]:
    """A member behind a surface."""
    return {
        "surface": row.surface, "member": row.member, "line": scale.ring((row.start, row.end)),
        "thickness": scale.length(row.thickness),
    }  # fmt: skip


def opening_row(scale: Scale, row: OpeningRow) -> dict[str, Any]:
    """An opening, as drawn and as cut in one layer."""
    return {
        "surface": row.surface, "layer": row.layer, "opening": row.opening,
        "drawn": scale.rings(row.drawn), "cut": scale.rings(row.cut),
        "merged_with": list(row.merged_with), "courses": list(row.courses),
    }  # fmt: skip


def course_row(scale: Scale, row: CourseRow) -> dict[str, Any]:
    """A course, row of sheets or width of a roll."""
    return {
        "surface": row.surface, "layer": row.layer, "course": row.course,
        "near": scale.length(row.near), "far": scale.length(row.far),
        "width": scale.length(row.width), "rip": row.rip, "tongue": row.tongue,
        "lap": scale.length(row.lap), "note": row.note,
    }  # fmt: skip


def run_row(scale: Scale, row: RunRow) -> dict[str, Any]:
    """A connected part of a course."""
    return {
        "id": row.id, "surface": row.surface, "layer": row.layer, "course": row.course,
        "near": scale.length(row.near), "far": scale.length(row.far),
        "from": scale.length(row.low), "to": scale.length(row.high),
        "length": scale.length(row.high - row.low), "bearings": row.bearings,
        "pieces": row.pieces, "gap": scale.length(row.gap),
    }  # fmt: skip


def piece_row(scale: Scale, row: PieceRow, names: Names) -> dict[str, Any]:
    """A placed piece."""
    return {
        "id": names[row.id], "label": label(row),
        "surface": row.surface, "layer": row.layer, "region": row.region,
        "product": row.product, "course": row.course, "run": row.run,
        "near": scale.length(row.near), "far": scale.length(row.far),
        "from": scale.length(row.low), "to": scale.length(row.high),
        "length": scale.length(row.cut), "width": scale.maybe(row.cut_width),
        "ends": list(row.ends), "long_points": [scale.length(end.long) for end in row.cuts],
        "short_points": [scale.length(end.short) for end in row.cuts],
        "end_angles": [end.angle for end in row.cuts],
        "rip": row.rip, "notches": row.notches, "holes": row.holes,
        "cutouts": [_cutout(scale, one) for one in row.cutouts],
        "shape": scale.rings(row.rings), "area": scale.area(row.twice_area),
        "bearings": row.bearings, "stick": row.stick, "ticks": row.cut,
    }  # fmt: skip


def _cutout(scale: Scale, row: Cutout) -> dict[str, Any]:
    return {
        "effect": row.effect, "openings": list(row.openings),
        "near": scale.length(row.near), "far": scale.length(row.far),
        "from": scale.length(row.low), "to": scale.length(row.high),
    }  # fmt: skip


def joint_row(scale: Scale, row: JointRow, names: Names) -> dict[str, Any]:
    """An end joint."""
    return {
        "surface": row.surface, "layer": row.layer, "course": row.course,
        "between": [names[one] for one in row.between], "at": scale.length(row.at), "on": row.on,
        "bearing": row.bearing, "offset_before": scale.maybe(row.offset_before),
        "offset_after": scale.maybe(row.offset_after),
        "offset_repeat": scale.maybe(row.offset_repeat),
    }  # fmt: skip
