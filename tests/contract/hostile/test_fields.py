"""Each place of every request: another type, an extreme, a hostile string, a wrong measure."""

from __future__ import annotations

import json
from collections.abc import Callable, Iterator
from decimal import Decimal
from functools import partial
from typing import Any

import httpx
import pytest

from tests.contract.hostile.attacks import (
    BOMBS,
    KEYS,
    NUMBERS,
    SPELLINGS,
    STRINGS,
    TYPES,
)
from tests.contract.hostile.ends import ends, numbers
from tests.contract.hostile.firing import REFUSED, Case, Range, posted
from tests.contract.hostile.rings import ODD
from tests.contract.hostile.rings import REFUSED as NO_RINGS
from tests.contract.hostile.walking import (
    Operation,
    Place,
    Raw,
    at,
    places,
    put,
    renamed,
    sound,
    taking_a_body,
    without,
    written,
)

pytestmark = pytest.mark.xdist_group("hostile")

OPERATIONS = taking_a_body()

SHORT = ("-1", "-", "--1", "-a", "_", "1-1", "0", "e1", *(one for one in STRINGS if len(one) < 300))
"""Strings that a field may take: a longer one is refused everywhere."""


@pytest.fixture(params=OPERATIONS, ids=[one.path for one in OPERATIONS])
def operation(request: pytest.FixtureRequest) -> Operation:
    """Each operation that takes a body."""
    one: Operation = request.param
    return one


def _name(place: Place, value: Any) -> str:
    shown = value.text if isinstance(value, Raw) else json.dumps(value)
    return f"/{'/'.join(map(str, place))} = {shown[:60]}"


Making = Iterator[Callable[[], Case]]
"""Functions that make a case each, for there are many."""


def _each(operation: Operation, values: tuple[Any, ...]) -> Making:
    """Every value at every place."""
    told = _told(operation)
    for example, place in places(operation):
        yield from (partial(told, example, place, value) for value in values)


def _told(operation: Operation) -> Callable[[Any, Place, Any], Case]:
    """Makes a case of a value at a place: what the published schema refuses must be refused."""
    is_sound = sound(operation)

    def case(example: Any, place: Place, value: Any) -> Case:
        body = written(put(example, place, value))
        return posted(_name(place, value), operation, body, allowed=_right(is_sound, body))

    return case


def _right(is_sound: Callable[[Any], bool], body: bytes) -> tuple[int, ...]:
    try:
        taken = is_sound(json.loads(body, parse_constant=_no_json))
    except (ValueError, RecursionError):
        taken = False
    return (200, 400, 422) if taken else REFUSED


def _no_json(text: str) -> None:
    raise ValueError(text)


def test_another_type_is_refused_where_the_schema_refuses_it(
    operation: Operation, shooting: Range
) -> None:
    shooting.survives(_each(operation, TYPES), 45)


def test_numbers_at_and_past_the_edge(operation: Operation, shooting: Range) -> None:
    shooting.survives(_each(operation, NUMBERS), 55)


def test_every_number_at_the_ends_of_its_published_range(
    operation: Operation, shooting: Range
) -> None:
    """Rules and other numbers that no example sends as well."""

    def cases() -> Making:
        told = _told(operation)
        for example, place, schema in numbers(operation):
            yield from (partial(told, example, place, end) for end in ends(schema))

    shooting.survives(cases(), 50)


def test_every_list_doubled_reversed_rotated_cut_to_one_and_emptied(
    operation: Operation, shooting: Range
) -> None:
    def cases() -> Making:
        told = _told(operation)
        for example, place in places(operation):
            listed = at(example, place)
            if isinstance(listed, list):
                for new in (2 * listed, listed[::-1], listed[1:] + listed[:1], listed[:1], []):
                    yield partial(told, example, place, new)

    shooting.survives(cases(), 30)


def test_hostile_strings(operation: Operation, shooting: Range) -> None:
    shooting.survives(_each(operation, STRINGS), 40)


def test_measures_that_bite_a_parser_are_refused(operation: Operation, shooting: Range) -> None:
    shooting.survives(_each(operation, BOMBS), 30)


def test_what_is_missing_or_unknown(operation: Operation, shooting: Range) -> None:
    def cases() -> Iterator[Case]:
        for example, place in places(operation):
            if place:
                yield posted(f"without {place}", operation, without(example, place))
            if isinstance(at(example, place), dict):
                for key in KEYS:
                    more = put(example, (*place, key), 1)
                    yield posted(f"{place} and {key!r}", operation, more, allowed=REFUSED)

    shooting.survives(cases(), 30)


def test_a_measure_is_read_as_its_plain_spelling_or_refused(
    operation: Operation, shooting: Range
) -> None:
    """Wherever a length may stand: the same answer as in plain millimetres, or a refusal."""
    if not list(_lengths(operation)):
        pytest.skip("its shape tells no length from another text")

    def cases() -> Iterator[Case]:
        for example, place in _lengths(operation):
            for text, millimetres in SPELLINGS:
                body = put(example, place, text)
                if millimetres is None:
                    yield posted(_name(place, text), operation, body, allowed=(400, 422))
                    continue
                plain = put(example, place, f"{Decimal(millimetres)} mm")
                yield posted(_name(place, text), operation, body,
                             then=_same_as(shooting, operation, plain))  # fmt: skip

    shooting.survives(cases(), 16)


def _lengths(operation: Operation) -> Iterator[tuple[Any, Place]]:
    """The places where `1 mm` is of the right shape and `one mm` is not."""
    is_sound = sound(operation)
    for example, place in places(operation):
        is_length = isinstance(at(example, place), int | float | str)
        if (
            is_length
            and is_sound(put(example, place, "1 mm"))
            and not is_sound(put(example, place, "one mm"))
        ):
            yield example, place


def _same_as(shooting: Range, operation: Operation, plain: Any) -> Any:
    def compare(answer: httpx.Response) -> list[str]:
        expected = shooting.asked(operation, plain)
        alike = _without_echo(answer.json()) == _without_echo(expected)
        return [] if alike else ["read otherwise than its plain spelling"]

    return compare


def _without_echo(answer: Any) -> Any:
    """The answer without what it repeats of the request."""
    return {key: value for key, value in answer.items() if key != "request"}


def test_rings_that_are_no_outline_are_refused(operation: Operation, shooting: Range) -> None:
    if not list(_rings(operation)):
        pytest.skip("no outline is sent to it")

    def cases() -> Iterator[Case]:
        for example, place in _rings(operation):
            for name, ring in NO_RINGS.items():
                yield posted(f"{place} {name}", operation, put(example, place, ring),
                             allowed=(400, 413, 422))  # fmt: skip
            for name, ring in ODD.items():
                yield posted(f"{place} {name}", operation, put(example, place, ring),
                             allowed=(200, 422))  # fmt: skip

    shooting.survives(cases(), 40)


def _rings(operation: Operation) -> Iterator[tuple[Any, Place]]:
    """The places that hold a list of at least three points."""
    for example, place in places(operation):
        value = at(example, place)
        if (
            isinstance(value, list)
            and len(value) > 2
            and all(isinstance(point, list) and len(point) == 2 for point in value)
        ):
            yield example, place


def test_no_text_of_a_request_runs_in_any_form_of_the_answer(
    operation: Operation, shooting: Range
) -> None:
    """Every string that is taken, wherever it is repeated: in the answer, drawing and tables."""

    def case(example: Any, place: Place, text: str, media: str) -> Case:
        changed = renamed(example, at(example, place), text) if len(place) > 1 else None
        body = put(example, place, text) if changed is None else changed
        return Case(f"{_name(place, text)} as {media}", operation.address, written(body),
                    operation.method, {"Content-Type": "application/json", "Accept": media},
                    wanted=media)  # fmt: skip

    def cases() -> Making:
        for example, place in places(operation):
            for text in SHORT if isinstance(at(example, place), str) else ():
                yield from (partial(case, example, place, text, media) for media in operation.media)

    shooting.survives(cases(), 45)
