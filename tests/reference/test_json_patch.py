"""JSON Patch against the examples of RFC 6902, appendix A, number by number."""

from __future__ import annotations

from decimal import Decimal
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st
from pydantic import TypeAdapter

from service.request.json_patch import Unfit, patched, same
from service.schemas.json_patch import Patch
from tests.independent import json_patch
from tests.strategies.budget import LAW

READ: TypeAdapter[Any] = TypeAdapter(Patch)

MADE = {
    "A.1": ({"foo": "bar"}, [{"op": "add", "path": "/baz", "value": "qux"}],
            {"baz": "qux", "foo": "bar"}),
    "A.2": ({"foo": ["bar", "baz"]}, [{"op": "add", "path": "/foo/1", "value": "qux"}],
            {"foo": ["bar", "qux", "baz"]}),
    "A.3": ({"baz": "qux", "foo": "bar"}, [{"op": "remove", "path": "/baz"}], {"foo": "bar"}),
    "A.4": ({"foo": ["bar", "qux", "baz"]}, [{"op": "remove", "path": "/foo/1"}],
            {"foo": ["bar", "baz"]}),
    "A.5": ({"baz": "qux", "foo": "bar"}, [{"op": "replace", "path": "/baz", "value": "boo"}],
            {"baz": "boo", "foo": "bar"}),
    "A.6": ({"foo": {"bar": "baz", "waldo": "fred"}, "qux": {"corge": "grault"}},
            [{"op": "move", "from": "/foo/waldo", "path": "/qux/thud"}],
            {"foo": {"bar": "baz"}, "qux": {"corge": "grault", "thud": "fred"}}),
    "A.7": ({"foo": ["all", "grass", "cows", "eat"]},
            [{"op": "move", "from": "/foo/1", "path": "/foo/3"}],
            {"foo": ["all", "cows", "eat", "grass"]}),
    "A.8": ({"baz": "qux", "foo": ["a", 2, "c"]},
            [{"op": "test", "path": "/baz", "value": "qux"},
             {"op": "test", "path": "/foo/1", "value": 2}],
            {"baz": "qux", "foo": ["a", 2, "c"]}),
    "A.10": ({"foo": "bar"}, [{"op": "add", "path": "/child", "value": {"grandchild": {}}}],
             {"foo": "bar", "child": {"grandchild": {}}}),
    "A.14": ({"/": 9, "~1": 10}, [{"op": "test", "path": "/~01", "value": 10}],
             {"/": 9, "~1": 10}),
    "A.16": ({"foo": ["bar"]}, [{"op": "add", "path": "/foo/-", "value": ["abc", "def"]}],
             {"foo": ["bar", ["abc", "def"]]}),
    "4.1": ({"foo": 1}, [{"op": "add", "path": "", "value": {"all": "new"}}], {"all": "new"}),
    "4.5": ({"a": {"b": [1]}}, [{"op": "copy", "from": "/a/b", "path": "/c"}],
            {"a": {"b": [1]}, "c": [1]}),
}  # fmt: skip
"""Number -> document, operations, and what they make of it."""

UNFIT = {
    "A.9": ({"baz": "qux"}, {"op": "test", "path": "/baz", "value": "bar"}, "value"),
    "A.12": ({"foo": "bar"}, {"op": "add", "path": "/baz/bat", "value": "qux"}, "path"),
    "A.15": ({"/": 9, "~1": 10}, {"op": "test", "path": "/~01", "value": "10"}, "value"),
    "4.1": ({"foo": []}, {"op": "add", "path": "/foo/1", "value": 1}, "path"),
    "4.2": ({"foo": 1}, {"op": "remove", "path": "/bar"}, "path"),
    "4.3": ({"foo": 1}, {"op": "replace", "path": "/bar", "value": 2}, "path"),
    "4.4": ({"foo": {"bar": 1}}, {"op": "move", "from": "/foo", "path": "/foo/bar"}, "from"),
    "4.5": ({"foo": 1}, {"op": "copy", "from": "/bar", "path": "/foo"}, "from"),
    "RFC 6901, 4": ({"foo": [1, 2]}, {"op": "remove", "path": "/foo/01"}, "path"),
}  # fmt: skip
"""Number -> document, an operation that must fail, and the member that is at fault."""


@pytest.mark.parametrize("number", MADE)
def test_operations_make_what_the_standard_says(number: str) -> None:
    document, patch, made = MADE[number]
    before = repr(document)
    assert patched(document, READ.validate_python(patch)) == made
    assert repr(document) == before


@pytest.mark.parametrize("number", UNFIT)
def test_operations_fail_where_the_standard_says(number: str) -> None:
    document, operation, part = UNFIT[number]
    sound = {"op": "test", "path": "", "value": document}
    with pytest.raises(Unfit) as fault:
        patched(document, READ.validate_python([sound, operation]))
    assert (fault.value.number, fault.value.part) == (1, part)


def test_truths_are_no_numbers_and_numbers_are_by_value() -> None:
    """RFC 6902, 4.6."""
    assert same([1, {"a": Decimal("2.0")}], [Decimal(1), {"a": 2}])
    assert not same(Decimal("1.5"), 1)
    assert not same(True, 1)
    assert not same([0], [False])
    assert not same("1", 1)


def test_copies_of_copies_do_not_grow_without_end() -> None:
    patch = [{"op": "copy", "from": "", "path": "/a"}] * 30
    with pytest.raises(Unfit, match=r"nested|values"):
        patched({"b": [1, 2, 3]}, READ.validate_python(patch))


VALUES = st.recursive(
    st.integers(0, 3) | st.sampled_from(["a", True, None]),
    lambda inner: st.lists(inner, max_size=3) | st.dictionaries(st.sampled_from("abc"), inner),
    max_leaves=8,
)
PATHS = st.lists(st.sampled_from(["a", "b", "0", "1", "-"]), max_size=3).map(
    lambda parts: "".join(f"/{part}" for part in parts)
)


@LAW
@given(document=st.dictionaries(st.sampled_from("abc"), VALUES, min_size=1), path=PATHS,
       op=st.sampled_from(["add", "replace", "remove"]), value=VALUES)  # fmt: skip
def test_another_reader_of_the_standard_agrees(
    document: Any, path: str, op: str, value: Any
) -> None:
    operation = {"op": op, "path": path} | ({} if op == "remove" else {"value": value})
    try:
        made = patched(document, READ.validate_python([operation]))
    except Unfit:
        with pytest.raises((AssertionError, ValueError, KeyError, IndexError)):
            json_patch.patched(document, [operation])
        return
    assert made == json_patch.patched(document, [operation])
