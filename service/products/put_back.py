"""Fasteners of pieces that are taken off, cut to their new length and put back (18.1, 21.4)."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from dataclasses import replace
from typing import Any, TypeVar

from service.products.layer import Placed
from service.products.remarks import Remarks
from service.products.rows import FastenerRow
from service.products.standing import Reopened

AnyMade = TypeVar("AnyMade", bound=Placed[Any, Any])  # what a kind places is its own


def again(
    fasten: Callable[[AnyMade, Remarks], Sequence[FastenerRow]],
    after: AnyMade,
    opened: Reopened,
    said: Remarks,
) -> Iterator[FastenerRow]:
    """What pieces take anew that are put back, of a kind that counts over the pieces alone.

    `after` is the layer of the second job, in which they lie.
    """
    pieces = tuple(one.becomes for one in opened.stays if one.becomes is not None)
    if pieces:
        for row in fasten(replace(after, pieces=pieces), said):
            yield replace(row, where=f"{row.where} put back")
