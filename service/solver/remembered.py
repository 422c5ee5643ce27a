"""What a pure function gave is kept while jobs are solved side by side, which are alike in most."""

from __future__ import annotations

from collections.abc import Callable, Hashable, Iterator
from contextlib import contextmanager
from contextvars import ContextVar
from functools import wraps
from typing import Any, Final, ParamSpec, TypeVar

P = ParamSpec("P")
R = TypeVar("R")

_KNOWN: Final[ContextVar[dict[Hashable, Any] | None]] = ContextVar("known", default=None)


@contextmanager
def side_by_side() -> Iterator[None]:
    """Within it remembered functions are asked once for the same arguments; then all is let go."""
    before = _KNOWN.set({})
    try:
        yield
    finally:
        _KNOWN.reset(before)


def remembered(pure: Callable[P, R]) -> Callable[P, R]:
    """A pure function of values that do not change, remembered where jobs are solved so.

    It gives what it would give anyway: nothing that is answered depends on it.
    """

    @wraps(pure)
    def asked(*args: P.args, **more: P.kwargs) -> R:
        known = _KNOWN.get()
        if known is None:
            return pure(*args, **more)
        key = (pure, args, tuple(sorted(more.items())))
        if key not in known:
            known[key] = pure(*args, **more)
        found: R = known[key]
        return found

    return asked
