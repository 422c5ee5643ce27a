"""The cuts of a sheet in words, in the order in which they are sawn."""

from __future__ import annotations

from service.cutting.sheets.nesting import Nested, Through
from service.units.writing import tape_size


def steps(sheet: Nested, unit: str) -> tuple[str, ...]:
    """One sentence a cut: `crosscut the sheet at 48"`, `rip the 48" x 96" part at 24"`."""
    if not sheet.trim:
        return tuple(_step(cut, k, unit) for k, cut in enumerate(sheet.cuts))
    off = f"rip {tape_size(sheet.trim, unit)} off one long edge of the sheet, the saw cut with it"
    return off, *(_step(cut, k, unit) for k, cut in enumerate(sheet.cuts[1:]))


def _step(cut: Through, number: int, unit: str) -> str:
    _, _, length, width = cut.block
    what = (
        "the sheet"
        if number == 0
        else f"the {tape_size(width, unit)} x {tape_size(length, unit)} part"
    )
    return f"{cut.cut} {what} at {tape_size(cut.at, unit)}"
