"""Whole bodies: lenient JSON, nesting, other encodings, other types, codings and sizes."""

from __future__ import annotations

import gzip
import json
import zlib
from collections.abc import Iterator
from functools import cache, partial
from itertools import product
from typing import Any

import pytest

from tests.contract.hostile.attacks import MARK
from tests.contract.hostile.firing import JSON, REFUSED, Case, Range, posted
from tests.contract.hostile.walking import Operation, operations, taking_a_body

pytestmark = pytest.mark.xdist_group("hostile")

OPERATIONS = taking_a_body()


@pytest.fixture(params=OPERATIONS, ids=[one.path for one in OPERATIONS])
def operation(request: pytest.FixtureRequest) -> Operation:
    """Each operation that takes a body."""
    one: Operation = request.param
    return one


def _lenient(sound: bytes) -> dict[str, bytes]:
    """What a lenient parser takes and a strict one must not, made from a sound body."""
    text = sound.decode()
    first = next(iter(json.loads(sound)))
    opening = text.index("{") + 1
    again = f'"{first}":null,'
    escaped = '"' + "".join(f"\\u{ord(letter):04x}" for letter in first) + '":null,'
    return {
        "nothing": b"",
        "blank": b" \r\n\t",
        "a text": b'"text"',
        "null": b"null",
        "cut short": sound[: len(sound) // 2],
        "a brace more": sound + b"}",
        "twice": sound + sound,
        "a comma at the end": (text[:-1] + ",}").encode(),
        "a key twice": (text[:opening] + again + text[opening:]).encode(),
        "a key twice, escaped": (text[:opening] + escaped + text[opening:]).encode(),
        "a comment": b"/* */" + sound,
        "a line of comment": b"// x\n" + sound,
        "single quotes": text.replace('"', "'").encode(),
        "keys without quotes": text.replace(f'"{first}"', first, 1).encode(),
        "padded with NUL": sound + b"\0",
        "NUL before": b"\0" + sound,
        "form feed between": text.replace(":", ":\f", 1).encode(),
        "no-break space between": text.replace(":", ":\u00a0", 1).encode(),
        "byte order mark": b"\xef\xbb\xbf" + sound,
        "UTF-16": text.encode("utf-16"),
        "UTF-16 without a mark": text.encode("utf-16-le"),
        "UTF-32": text.encode("utf-32"),
        "UTF-7": b"+AHs-" + sound[1:],
        "Latin-1": sound[:-1] + b',"\xe9":1}',
        "overlong": sound[:-1] + b',"\xc0\xaf":1}',
        "a surrogate in UTF-8": sound[:-1] + b',"\xed\xa0\x80":1}',
        "beyond Unicode": sound[:-1] + b',"\xf5\x80\x80\x80":1}',
        "a raw line feed in a string": text.replace(f'"{first}"', f'"{first}\n"', 1).encode(),
        "a bad escape": text.replace(f'"{first}"', f'"\\x{first}"', 1).encode(),
        "a string without end": sound[:-1] + b',"' + b"a" * 100_000,
        "back-slashes without end": sound[:-1] + b',"' + b"\\" * 100_000,
    }


def test_lenient_json_is_400_or_422(operation: Operation, shooting: Range) -> None:
    sound = json.dumps(operation.examples[0]).encode()
    shooting.survives(
        (posted(name, operation, body, allowed=(400, 422))
         for name, body in _lenient(sound).items()), 40,
    )  # fmt: skip


def test_nesting_is_refused_before_it_is_parsed(operation: Operation, shooting: Range) -> None:
    def cases() -> Iterator[Case]:
        for depth in (25, 100, 960, 970, 1_000, 5_000, 8_000, 100_000, 400_000):
            for opening, closing in (("[", "]"), ('{"a":', "}"), ('[{"a":', "}]"), ("[[],", "]")):
                for end in (closing * depth, ""):
                    body = f"{opening * depth}1{end}"[:999_000].encode()
                    yield posted(f"{opening} {depth} {bool(end)}", operation, body, allowed=(400,))

    shooting.survives(cases(), 40)


def test_many_faults_make_a_short_problem(operation: Operation, shooting: Range) -> None:
    def case(member: str, key: str) -> Case:
        many = ",".join([member] * (900_000 // (len(member) + 1)))
        body = json.dumps({**operation.examples[0], key: 0}).replace(
            f'"{key}": 0', f'"{key}": [{many}]'
        )
        return posted(f"{key}: many {member}", operation, body.encode(), allowed=(400, 422))

    members = ("1", '""', "null", "{}", "[]", f'"{MARK}"', '{"a":1}', "1e999999")
    each = product(members, operation.examples[0])
    shooting.survives([partial(case, *one) for one in each], 12)


@cache
def bomb() -> bytes:
    """Fifty megabytes of nothing, packed."""
    return gzip.compress(bytes(50_000_000))


_CODED = {"gzip": gzip.compress, "deflate": zlib.compress}


def test_another_type_or_coding_is_415(operation: Operation, shooting: Range) -> None:
    sound = json.dumps(operation.examples[0]).encode()

    def sent(name: str, body: bytes, *, status: int = 415, **headers: str) -> Case:
        named = {key.replace("_", "-"): value for key, value in headers.items()}
        return Case(name, operation.address, body, operation.method, {**JSON, **named},
                    allowed=(status,))  # fmt: skip

    def cases() -> Iterator[Case]:
        for coding in ("gzip", "deflate", "br", "zstd", "compress", "x-gzip", "gzip, gzip", "aws"):
            yield sent(f"said to be {coding}", sound, Content_Encoding=coding)
            packed = _CODED.get(coding, bytes)(sound)
            yield sent(f"is {coding}", packed, Content_Encoding=coding)
        yield sent("a bomb", bomb(), Content_Encoding="gzip")
        for media in ("", "text/plain", "text/json", "application/xml", "multipart/form-data",
                      "application/json; charset=utf-16", "application/json; charset=utf-7",
                      "application/json, text/plain", "application/json\t;x=y", "*/*",
                      "application/x-www-form-urlencoded", "application/json;" * 50):  # fmt: skip
            yield sent(f"type {media[:40]}", sound, Content_Type=media)

    shooting.survives(cases(), 40)


def test_a_body_over_the_limit_is_413(operation: Operation, shooting: Range) -> None:
    def cases() -> Iterator[Case]:
        for size in (1_000_001, 2_000_000, 20_000_000):
            for filling in (b" ", b"[", b"1"):
                yield posted(f"{size} of {filling!r}", operation, filling * size, allowed=(413,))

    shooting.survives(cases(), 5)


def test_every_operation_keeps_to_its_methods_parameters_and_headers(shooting: Range) -> None:
    """Each operation of the document, asked in ways that it does not have."""

    def cases() -> Iterator[Case]:
        for one in operations():
            body: Any = json.dumps(one.examples[0]).encode() if one.examples else b""
            for method in ("PUT", "PATCH", "DELETE", "OPTIONS", "TRACE", "PROPFIND", "QUERY"):
                yield Case(f"{method} {one.path}", one.address, body, method, JSON, allowed=(405,))
            for query in ("?x", "?format=exe", "?format=json&format=csv", "?" + "a" * 8_000,
                          "?%00", "?%ff", "?=&=", "?" + "&" * 4_000, f"?<x>={MARK}"):  # fmt: skip
                yield Case(f"{one.path}{query[:30]}", one.address + query, body, one.method, JSON,
                           allowed=(200, *REFUSED), wanted=one.media[0])  # fmt: skip
            for name, value in _HEADERS:
                yield Case(f"{one.path} {name}: {value[:40]}", one.address, body, one.method,
                           {**JSON, name: value}, allowed=(200, 304, *REFUSED),
                           wanted=one.media[0])  # fmt: skip
            for path in ("/", "//", "/%2e%2e", "/%00", ";x=1", "%0d%0aa:b", "/" + MARK):
                yield Case(f"{one.path}{path}", one.address + path, body, one.method,
                           {**JSON, "Host": "elsewhere.invalid"}, allowed=REFUSED)  # fmt: skip

    shooting.survives(cases(), 80)


_HEADERS = (
    ("Host", "elsewhere.invalid"), ("X-Forwarded-Host", "elsewhere.invalid"),
    ("X-Forwarded-Proto", "javascript"), ("Forwarded", "host=elsewhere.invalid"),
    ("X-Original-URL", "/health/live"), ("X-HTTP-Method-Override", "DELETE"),
    ("X-Request-Id", "a\tb"), ("X-Request-Id", "x" * 5_000), ("X-Request-Id", f"<{MARK}>"),
    ("Traceparent", "00-" + "f" * 32 + "-" + "f" * 16 + "-01"), ("Traceparent", MARK),
    ("Baggage", "a=" + "b" * 8_000), ("Cookie", "a=" + "b" * 8_000), ("Range", "bytes=0-0,0-0"),
    ("Accept", "text/html;q=" + "9" * 4_000), ("Accept", "a/" + "b" * 8_000),
    ("Accept", "," * 8_000), ("Accept", ("*/*;" + "a=b;" * 9) * 200),
    ("Accept-Language", "de-DE, tr-TR"), ("Accept-Encoding", "gzip;q=1e9"),
    ("If-None-Match", "*"), ("If-None-Match", '"' + "a" * 8_000), ("If-None-Match", "," * 8_000),
    ("Authorization", "Basic " + "a" * 4_000), ("Authorization", f"Bearer {MARK}"),
    ("Origin", "null"), ("Origin", "http://elsewhere.invalid"), ("Upgrade", "h2c"),
    ("Connection", "close, x-request-id"), ("Connection", "Upgrade"), ("Keep-Alive", "max=0"),
    ("Expect", "200-maybe"), ("Via", "1.1 " + "a," * 2_000), ("Idempotency-Key", "x" * 4_000),
)  # fmt: skip
