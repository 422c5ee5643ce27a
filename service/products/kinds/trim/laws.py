"""Laws of trim that no answer may break."""

from __future__ import annotations

from collections.abc import Iterator

from service.products.kinds.trim.records import PlacedTrim


def violations(placed: PlacedTrim) -> tuple[str, ...]:
    """The laws that a placed layer breaks."""
    return tuple(_broken(placed))


def _broken(placed: PlacedTrim) -> Iterator[str]:
    """Every piece is of one length, and a length's pieces are all of it (17.1, 17.4)."""
    cut = {row.id: row.cut for row in placed.pieces}
    told = [name for row in placed.trim_lengths for name in row.pieces]
    if sorted(told) != sorted(cut):
        yield f"a piece of {placed.laid.task.at} is of no length, or of two"
        return  # of what is not there nothing more can be told
    for row, one in zip(placed.trim_lengths, placed.laid.detail.lengths, strict=True):
        rules = placed.laid.task.rules
        most = sum(row.adds) + one.line.lap * len(row.scarfs) + row.length
        if abs(sum(cut[name] for name in row.pieces) - most) > rules.cut_to:
            yield f"the pieces of length {row.length_no} of {placed.laid.task.at} are not it"
        if min(cut[name] for name in row.pieces) <= 0:
            yield f"a piece of length {row.length_no} of {placed.laid.task.at} is nothing"
