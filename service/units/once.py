"""What a record works out when it is first asked for, and keeps."""

from __future__ import annotations

from functools import cached_property
from typing import TYPE_CHECKING, Any, TypeVar

Record = TypeVar("Record")

if TYPE_CHECKING:
    once = cached_property
else:

    class once:  # noqa: N801 - it decorates
        """A property that is worked out once, without a lock: no record is shared by threads.

        `functools.cached_property` takes one up to Python 3.11, which costs more than most of what
        is kept.
        """

        def __init__(self, work: Any) -> None:
            self._work, self.__doc__ = work, work.__doc__

        def __set_name__(self, owner: type, name: str) -> None:
            self._name = name

        def __get__(self, record: Any, owner: type | None = None) -> Any:
            if record is None:
                return self
            made = record.__dict__[self._name] = self._work(record)
            return made


def told(record: Record, **known: object) -> Record:
    """A record with what is known of it before it is asked for, by the names of its properties."""
    record.__dict__.update(known)
    return record
