"""What looks like a slip of units, told where a job is answered and where it is refused (0.8).

No cure is offered for what such a measure may have brought about: it would let nonsense through.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass, replace

from service.errors import Fault, Finding, TradeRefused


@dataclass(frozen=True, slots=True)
class Slip:
    """A measure of a surface or a product, called `name`, that would be usual in another unit."""

    name: str
    pointer: str
    text: str
    ticks: int

    @property
    def finding(self) -> Finding:
        """What is told of it in an answer."""
        return Finding("unit-slip", self.name, self.text, "0.8", measure=self.ticks)

    @property
    def fault(self) -> Fault:
        """What is told of it in a refusal, which it may have brought about."""
        return Fault("unit-slip", self.text, self.pointer, rule="0.8", measure=self.ticks)


def refused_for(slips: Sequence[Slip], refusal: TradeRefused) -> TradeRefused:
    """A refusal with the slips first, and without a cure where there are any."""
    if not slips:
        return refusal
    bare = (replace(one, cure=None) for one in refusal.faults)
    count = refusal.count + len(slips)
    return TradeRefused(*(one.fault for one in slips), *bare, count=count)


def told_with(slips: Sequence[Slip], findings: Iterable[Finding]) -> tuple[Finding, ...]:
    """Findings with the slips first; what is said of the same surface or product has no cure."""
    names = {one.name for one in slips}
    bare = (replace(one, cure=None) if one.at.split(".")[0] in names else one for one in findings)
    return (*(one.finding for one in slips), *bare)
