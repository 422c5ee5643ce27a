"""What a body must be before anything reads a meaning into it (RFC 8259, RFC 7493)."""

from __future__ import annotations

import json
from decimal import Decimal

import pytest
from hypothesis import given
from hypothesis import strategies as st

from service.errors import MalformedJson
from service.request.strict_json import MOST_DEPTH, canonical, loads

PLAIN = st.characters(
    blacklist_categories=("Cs", "Cc"),
    blacklist_characters=[chr(code) for code in (*range(0xFDD0, 0xFDF0), 0xFFFE, 0xFFFF)],
)
VALUES = st.recursive(
    st.none() | st.booleans() | st.integers(-(10**23), 10**23) | st.text(PLAIN),
    lambda inner: st.lists(inner, max_size=4) | st.dictionaries(st.text(PLAIN), inner, max_size=4),
    max_leaves=20,
)


def code_of(body: bytes) -> str:
    with pytest.raises(MalformedJson) as caught:
        loads(body)
    assert caught.value.count == 1
    return caught.value.faults[0].code


@given(VALUES, st.booleans())
def test_what_json_writes_is_read_back(value, ascii_only):
    assert loads(json.dumps(value, ensure_ascii=ascii_only).encode()) == value


@given(st.floats(allow_nan=False, allow_infinity=False))
def test_every_number_a_double_can_write_is_read_without_rounding(number):
    text = repr(number)
    assert loads(text.encode()) == Decimal(text)


@given(st.binary(max_size=60))
def test_any_bytes_are_read_or_refused(body):
    try:
        loads(body)
    except MalformedJson as refusal:
        faults = refusal.faults
    else:
        return
    assert faults[0].detail


@given(st.text(alphabet='{}[]",:\\u0dDcC8 \n1eE.-+truefalsn', max_size=40))
def test_what_is_read_is_what_the_lenient_parser_reads(text):
    """Strictness only refuses; it never changes a value."""
    try:
        value = loads(text.encode())
    except MalformedJson:
        return
    assert value == json.loads(text, parse_float=Decimal)


def test_numbers_are_never_float():
    value = loads(b"[0.1, 1, 1e2, -2.50]")
    assert value == [Decimal("0.1"), 1, Decimal("1e2"), Decimal("-2.50")]
    assert not any(isinstance(item, float) for item in value)


@pytest.mark.parametrize(
    ("body", "code"),
    [
        (b"", "not-json"),
        (b"   ", "not-json"),
        (b"{", "not-json"),
        (b"{} {}", "not-json"),
        (b"[1,]", "not-json"),
        (b"{'a':1}", "not-json"),
        (b"[01]", "not-json"),
        (b"[1_000]", "not-json"),
        (b"// note\n1", "not-json"),
        (b'"\t"', "not-json"),
        (b'"\n"', "not-json"),
        (b'"open', "not-json"),
        (b"\xef\xbb\xbf{}", "byte-order-mark"),
        (b"\xff\xfe{\x00}\x00", "byte-order-mark"),
        (b"\xfe\xff\x00{\x00}", "byte-order-mark"),
        ("{}".encode("utf-16-le"), "forbidden-character"),
        ("{}".encode("utf-32-be"), "forbidden-character"),
        (b'"\xff"', "not-utf-8"),
        (b'"\xc0\xaf"', "not-utf-8"),
        (b'"\xed\xa0\x80"', "not-utf-8"),
        (b'{"a":1,"a":2}', "duplicate-key"),
        (rb'{"a":1,"\u0061":2}', "duplicate-key"),
        (rb'[{"kerf":{"x":1,"\u0078":2}}]', "duplicate-key"),
        (b"NaN", "not-a-number"),
        (b"[Infinity]", "not-a-number"),
        (b"[-Infinity]", "not-a-number"),
        (b"1e400", "exponent"),
        (b"1e-400", "exponent"),
        (b"1e99999999999999", "exponent"),
        (b"1E+1000000000", "exponent"),
        (b"1" * 25, "too-many-digits"),
        (b"1" * 100_000, "too-many-digits"),
        (b"0." + b"1" * 24, "too-many-digits"),
        (b"-" + b"9" * 25, "too-many-digits"),
        (rb'"\ud800"', "forbidden-character"),
        (rb'"\udc00"', "forbidden-character"),
        (rb'"\ud83d\u0041"', "forbidden-character"),
        (rb'"\ude00\ud83d"', "forbidden-character"),
        (rb'"\ud83d\\ude00"', "forbidden-character"),
        (rb'{"\ud800":1}', "forbidden-character"),
        (rb'"\u0000"', "forbidden-character"),
        (rb'"\u001b"', "forbidden-character"),
        (rb'"\n"', "forbidden-character"),
        (rb'"\\\t"', "forbidden-character"),
        (rb'"\u007f"', "forbidden-character"),
        (rb'"\uFFFE"', "forbidden-character"),
        (b'"\x00"', "forbidden-character"),
        (b'"\x7f"', "forbidden-character"),
        (b'"\xc2\x85"', "forbidden-character"),
        (b'"\xef\xbf\xbf"', "forbidden-character"),
    ],
)
def test_what_is_refused(body, code):
    assert code_of(body) == code


@pytest.mark.parametrize(
    ("body", "place"),
    [
        (b"[1,]", "line 1, column 3"),
        (b"[1 ,\n ]", "line 1, column 4"),
        (b'{"a": [1],\n\t}', "line 1, column 10"),
        (b"[[], [2,}]", "line 1, column 8"),
    ],
)
def test_a_needless_comma_is_told_alike_by_every_python(body, place):
    """Python 3.13 points at the comma, those before at the bracket, each in words of its own."""
    with pytest.raises(MalformedJson) as caught:
        loads(body)
    assert caught.value.faults[0].detail == f"A comma stands before a closing bracket: {place}"


@pytest.mark.parametrize(
    ("body", "value"),
    [
        (rb'"\ud83d\ude00"', "\U0001f600"),
        (rb'"\\u0000"', "\\u0000"),
        (rb'"\\n"', "\\n"),
        (rb'"\"\/\\"', '"/\\'),
        (rb'"12\u2032 6\u2033"', "12\u2032 6\u2033"),
        (b'\t{ "a" :\r\n1 }\n', {"a": 1}),
        (b"9" * 24, int("9" * 24)),
        (b"1e330", Decimal("1e330")),
        (b"-0", 0),
    ],
)
def test_what_is_read(body, value):
    assert loads(body) == value


@pytest.mark.parametrize("opening", [b"[", b'{"a":'])
@pytest.mark.parametrize("depth", [MOST_DEPTH + 1, 1_000, 100_000, 500_000])
def test_deep_nesting_is_refused_before_it_is_parsed(opening, depth):
    assert code_of(opening * depth) == "too-deep"


def test_depth_is_bounded_exactly_and_brackets_in_strings_do_not_count():
    deepest = b"[" * MOST_DEPTH + b"]" * MOST_DEPTH
    assert loads(deepest) == json.loads(deepest)
    assert code_of(b"[" + deepest + b"]") == "too-deep"
    assert loads(b'["' + b"[" * 100 + rb"\"{" + b'"]') == ["[" * 100 + '"{']


@pytest.mark.parametrize(
    ("body", "code"),
    [
        (b'"' + rb"\"" * 500_000, "not-json"),
        (b'["' * 24 + b"\\" * 900_000, "not-json"),
        (b'"' + b"a" * 1_000_000, "not-json"),
        (b'{"a":' + b"1" * 900_000 + b"}", "too-many-digits"),
    ],
)
def test_a_full_body_is_refused_in_one_pass(body, code):
    """A pattern that backtracks would need hours for these."""
    assert code_of(body) == code


def test_a_full_body_is_read_in_one_pass():
    assert loads(b"[" + b"[],{}," * 150_000 + b"1]") == [*[[], {}] * 150_000, 1]
    assert loads(b'"' + rb"\u0041" * 160_000 + b'"') == "A" * 160_000


@pytest.mark.parametrize("body", [b'{"secret":', b'{"secret":1,"secret":2}', b'["secret\x00"]'])
def test_no_sentence_repeats_what_was_sent(body):
    with pytest.raises(MalformedJson) as caught:
        loads(body)
    assert "secret" not in str(caught.value)


def test_requests_that_say_the_same_have_one_form():
    one = canonical(loads(b'{"b": [1, 2.50, {"y": "5 in", "x": 3}], "a": 12}'))
    for other in (
        b'{"a":12,"b":[1,2.5,{"x":3,"y":"5 in"}]}',
        b'\n{ "a" : 12.0 , "b" : [1.0, 25e-1, {"x": 3.00, "y": "\\u0035 in"}] }\t',
        b'{"a": 1.2e1, "c": null, "b": [1, 2.5, {"x": 3, "y": "5 in", "z": null}]}',
    ):
        assert canonical(loads(other)) == one


def test_requests_that_say_something_else_have_another_form():
    bodies = (b'{"a":1}', b'{"a":"1"}', b'{"a":[1]}', b'{"a":1.1}', b'{"a":"1.1"}', b'{"b":1}',
              b'{"a":true}', b'{"a":[null]}', b'{"a":[]}', b'{"a":{}}', b"{}", b'{"a":-1}',
              b'{"a":{"":"1.1"}}', b'{"a":1e300}')  # fmt: skip
    assert len({canonical(loads(body)) for body in bodies}) == len(bodies)
