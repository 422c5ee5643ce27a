"""What the service says back when a request cannot be met, or can but needs a word.

The core raises `Refusal`s and returns `Finding`s; it knows no HTTP. Lengths inside are ticks
(`service.units.ticks`); the edge turns them into the caller's unit.
"""

from __future__ import annotations

from collections.abc import Collection
from dataclasses import dataclass
from difflib import get_close_matches
from typing import TypeAlias

_MOST_COMPARED = 64
"""Of a longer word only so much is compared with those that are known."""

_MOST_LISTED = 24
"""Of more words that are known, with none near, none is named."""


@dataclass(frozen=True, slots=True)
class Ticks:
    """A length that the edge must write in the caller's unit.

    `value` is an integer number of ticks (1/40 000 mm).
    """

    value: int


JsonValue: TypeAlias = (
    bool | int | float | str | Ticks | list["JsonValue"] | dict[str, "JsonValue"] | None
)


@dataclass(frozen=True, slots=True)
class Cure:
    """An edit of the request that mends what was found: put `value` at `pointer`.

    `pointer` is a JSON Pointer (RFC 6901) into the request. A member that is not there yet is
    added, with its parents; `service.report.patches` writes it as the operations that do so. `also`
    are further edits that must be made with this one. One that is not `sure` to mend what was found
    and nothing else to break is tried before it is offered (`service.cures`).
    """

    pointer: str
    value: JsonValue
    also: tuple[Cure, ...] = ()
    sure: bool = False


@dataclass(frozen=True, slots=True)
class Fault:
    """One reason for refusing: a stable `code`, the place in the request, and what would do.

    `detail` is a sentence for people. `rule` is the number of the trade rule, where one refused.
    `measure` and `limit` are ticks.
    """

    code: str
    detail: str
    pointer: str = ""
    cure: Cure | None = None
    rule: str | None = None
    measure: int | None = None
    limit: int | None = None


class Refusal(Exception):
    """A request that cannot be answered; `faults` says why, at most 20, and `count` how many."""

    most = 20

    def __init__(self, *faults: Fault, count: int | None = None) -> None:
        super().__init__("; ".join(fault.detail for fault in faults[:3]))
        self.faults = faults[: self.most]
        self.count = len(faults) if count is None else count


class MalformedJson(Refusal):
    """The body is not the strict JSON that the service reads."""


class ShapeRefused(Refusal):
    """The JSON is sound but not of the request's shape: a key, a type, a bound."""


class TradeRefused(Refusal):
    """The shape is right, but geometry or a rule of the trade forbids an answer."""


class LimitExceeded(Refusal):
    """The job is larger than a stated limit of the service."""


class LawBroken(Exception):
    """An answer broke one of its own laws: a fault of ours, never the caller's."""


@dataclass(frozen=True, slots=True)
class Finding:
    """Something legal that the caller should know: a code, a place, a measure and the cure.

    `at` names the place (`surface`, `surface.layer`, a course or a piece). `measure` and `limit`
    are ticks, or None where the finding has no length.
    """

    code: str
    at: str
    text: str
    rule: str | None = None
    measure: int | None = None
    limit: int | None = None
    cure: Cure | None = None


@dataclass(frozen=True, slots=True)
class Relaxed:
    """A rule that was not kept because the caller allowed it (`when_blocked: relax`).

    `asked` and `used` are ticks or counts as the rule has them; `places` names where.
    """

    rule: str
    key: str
    asked: JsonValue
    used: JsonValue
    places: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class Basis:
    """One value that the answer rests on, and where it came from.

    `source` is `layer`, `surface`, `job`, `product`, `default` or a table's id, or in a change
    `first order`.
    """

    at: str
    rule: str
    key: str
    value: JsonValue
    source: str


def meant(word: str, known: Collection[str]) -> str:
    """A question that names up to three known words near to `word`.

    Without one near: all that are known where they are few, else what to do.
    """
    found = get_close_matches(word[:_MOST_COMPARED].lower(), [str(one) for one in known], n=3)
    if found:
        return f"did you mean {' or '.join(f'`{one}`' for one in found)}?"
    if 0 < len(known) <= _MOST_LISTED:
        return f"there are {', '.join(f'`{one}`' for one in known)}"
    return "check its spelling"


def parts_of(pointer: str) -> list[str]:
    """The parts of a JSON Pointer: members by their names, items by their numbers."""
    return [part.replace("~1", "/").replace("~0", "~") for part in pointer.split("/")[1:]]


def escaped(part: str) -> str:
    """A member's name as it stands in a JSON Pointer."""
    return part.replace("~", "~0").replace("/", "~1")
