"""A refusal as a caller is told it: cures tried, members called by name, lengths in one unit."""

from __future__ import annotations

import re
from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import replace
from typing import Any, Final

import orjson

from service.cures import with_tried_cures
from service.errors import Cure, Fault, Refusal, TradeRefused
from service.products.nouns import support_asked
from service.report.patches import cure_rows
from service.report.scale import scale_of
from service.units.writing import in_system


@contextmanager
def told_of(asked: object, at: str = "") -> Iterator[None]:
    """What a job is refused for, as its caller is told it.

    `asked` is the job, which stands `at` a pointer in all that was asked. Cures are tried, and
    pointers lead into all of it.
    """
    try:
        yield
    except TradeRefused as refusal:
        tried = with_tried_cures(refusal, asked)
        raise _moved(tried, *(_called(one, asked) for one in tried.faults), at=at) from None
    except Refusal as refusal:
        raise _moved(refusal, *refusal.faults, at=at) from None


def written(refusal: Refusal, unit: str, asked: object) -> bytes:
    """A refusal as JSON: {"count": n, "faults": [...]}, its lengths in `unit`."""
    faults = [_fault(one, unit, asked) for one in refusal.faults]
    return orjson.dumps({"count": refusal.count, "faults": faults})


def _moved(refusal: Refusal, *faults: Fault, at: str) -> Refusal:
    """A refusal for these `faults`, which point into a part of what was asked, `at` its place."""
    moved = (
        replace(one, pointer=at + one.pointer, cure=one.cure and _cure_at(one.cure, at))
        for one in faults
    )
    return type(refusal)(*moved, count=refusal.count)


def _cure_at(cure: Cure, at: str) -> Cure:
    also = tuple(_cure_at(one, at) for one in cure.also)
    return replace(cure, pointer=at + cure.pointer, also=also)


_MEMBER: Final = re.compile(r"\bmember(?=s?\b)")


def _called(fault: Fault, asked: object) -> Fault:
    """A fault of the trade with members called as those of its surface are."""
    name = support_asked(fault.pointer, asked)
    return replace(fault, detail=_MEMBER.sub(name, fault.detail))


def _fault(fault: Fault, unit: str, asked: object) -> dict[str, Any]:
    """A fault with what it has; members without a value are left out."""
    scale = scale_of(unit)
    written = {
        "code": fault.code,
        "detail": in_system(fault.detail, unit),
        "pointer": fault.pointer,
        "rule": fault.rule,
        "measure": scale.maybe(fault.measure),
        "limit": scale.maybe(fault.limit),
        "cure": cure_rows(asked, fault.cure, scale.exactly),
    }
    return {key: value for key, value in written.items() if value is not None}
