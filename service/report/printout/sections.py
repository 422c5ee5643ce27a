"""Sections of a printout: a name, and the lines under it."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from typing import Any, TypeAlias

from service.report.printout.columns import Setting, heading
from service.report.printout.lengths import Lengths

Answer: TypeAlias = Mapping[str, Any]

Section: TypeAlias = tuple[str, Callable[[Answer, Lengths], list[Setting]]]
"""A name, and what makes the lines under it."""


def sections_of(sections: Sequence[Section], answer: Answer, lengths: Lengths) -> list[Setting]:
    """Sections in turn; one without lines is left out."""
    lines: list[Setting] = []
    for name, section in sections:
        body = section(answer, lengths)
        lines += [*heading(name), *body] if body else []
    return lines
