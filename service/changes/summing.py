"""A change in a few numbers and one sentence."""

from __future__ import annotations

from collections import Counter
from collections.abc import Sequence

from service.changes.rows import ChangedPieceRow, ChangeOrderRow, ChangeSummary, Done
from service.changes.words import to_buy, to_send_back
from service.units.folding import folded
from service.units.writing import agreeing, counted


def summed_up(
    pieces: Sequence[ChangedPieceRow], order: Sequence[ChangeOrderRow], unit: str
) -> ChangeSummary:
    """The change summed up; in words lengths are in one system."""
    counts = Counter(row.do for row in pieces)
    return ChangeSummary(
        keep=counts["keep"],
        remove=counts["remove"],
        recut=counts["recut"],
        add=counts["add"],
        price=_money([row.price for row in order]),
        credit=_money([row.credit for row in order]),
        in_words=_in_words(counts, order, unit),
    )


def _money(values: Sequence[float | None]) -> float | None:
    known = [value for value in values if value is not None]
    return round(folded(known), 4) if len(known) == len(values) else None


def _in_words(counts: Counter[Done], order: Sequence[ChangeOrderRow], unit: str) -> str:
    if not (counts["remove"] or counts["recut"] or counts["add"]):
        done = "Nothing changes: every piece stays as it is."
    else:
        done = (
            f"{counted(counts['keep'], 'pieces')} {agreeing(counts['keep'], 'stays', 'stay')}, "
            f"{counts['remove']} {agreeing(counts['remove'], 'goes', 'go')}, {counts['recut']} "
            f"{agreeing(counts['recut'], 'is', 'are')} cut in place, {counts['add']} "
            f"{agreeing(counts['add'], 'is', 'are')} new."
        )
    buy, back = to_buy(order, unit), to_send_back(order, unit)
    said = [done]
    said += [f"Buy {', '.join(buy)}."] if buy else []
    said += [f"Send back, or take off the order, {', '.join(back)}."] if back else []
    return " ".join(said)
