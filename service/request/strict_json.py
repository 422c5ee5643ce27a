"""Strict JSON: what a body must be before anything reads a meaning into it.

RFC 8259, narrowed by RFC 7493 (I-JSON): UTF-8 only, no key twice in one object, no lone surrogate
and no noncharacter. Besides: no control characters even when escaped, no NaN or Infinity, nesting
and digits bounded. Numbers become int or Decimal, never float, so nothing is rounded on the way.
"""

from __future__ import annotations

import json
import re
from decimal import Decimal
from typing import Any, Final, NoReturn

from service.errors import Fault, MalformedJson

MOST_DEPTH: Final = 24
MOST_DIGITS: Final = 24
MOST_EXPONENT: Final = 330
"""Just past what a double can write (5e-324), so that every client's own number is read."""

# Possessive, and the closing quote optional: one pass even over a string that never ends.
_STRING: Final = re.compile(rb'"(?:[^"\\]++|\\.)*+"?', re.DOTALL)
_NOT_BRACKETS: Final = bytes(byte for byte in range(256) if byte not in b"[]{}")
_OPENING: Final = frozenset(b"[{")
_CLOSING: Final = frozenset("]}")

# Tab, line feed and carriage return may stand between tokens; the parser keeps them out of strings.
_FORBIDDEN: Final = re.compile("[\x00-\x08\x0b\x0c\x0e-\x1f\x7f-\x9f\ufdd0-\ufdef\ufffe\uffff]")
# A pair of escaped surrogates, any other \u escape, or a short one. Matches follow one another, so
# a doubled backslash is one match and never opens an escape.
_ESCAPE: Final = re.compile(
    r"\\(?:u[dD][89abAB][0-9a-fA-F]{2}\\u[dD][c-fC-F][0-9a-fA-F]{2}|u([0-9a-fA-F]{4})|(.))",
    re.DOTALL,
)
_CONTROL_LETTERS: Final = frozenset("bfnrt")
_NUMBER: Final = re.compile(r"-?([0-9]+)(?:\.([0-9]+))?(?:[eE]([-+]?[0-9]+))?")


def loads(body: bytes) -> object:
    """The value that `body` says: dict, list, str, int, Decimal, bool or None.

    Raises MalformedJson with one fault. Its sentence names the place, never what stands there.
    """
    text = _decoded(body)
    _check_depth(body)
    _check_characters(text)
    try:
        return _DECODER.decode(text)
    except json.JSONDecodeError as fault:
        told = _as_told_everywhere(text, fault)
        _refuse("not-json", f"{told.msg}: line {told.lineno}, column {told.colno}")


def canonical(value: object) -> bytes:
    """What `loads` gave, in one form: requests that say the same have the same bytes.

    Keys are sorted, equal numbers are written alike, and members that are null are left out, for
    a request may leave them out.
    """
    return json.dumps(_plain(value), sort_keys=True, separators=(",", ":")).encode()


def _plain(value: Any) -> Any:
    if isinstance(value, dict):
        return {key: _plain(member) for key, member in value.items() if member is not None}
    if isinstance(value, list):
        return [_plain(member) for member in value]
    if isinstance(value, Decimal):
        # Marked by a character that no string of a request can hold.
        return int(value) if value == value.to_integral_value() else f"\0{value.normalize()}"
    return value


def _decoded(body: bytes) -> str:
    if body.startswith((b"\xef\xbb\xbf", b"\xff\xfe", b"\xfe\xff")):
        _refuse("byte-order-mark", "the body must be UTF-8 without a byte order mark")
    try:
        return body.decode("utf-8")
    except UnicodeDecodeError as fault:
        _refuse("not-utf-8", f"the body must be UTF-8; byte {fault.start} is not")


def _as_told_everywhere(text: str, fault: json.JSONDecodeError) -> json.JSONDecodeError:
    """The fault in the same words on every Python: since 3.13 it points at a needless comma."""
    place = fault.pos
    if text[place : place + 1] in _CLOSING:
        place = len(text[:place].rstrip(" \t\r\n")) - 1
        if place < 0 or text[place] != ",":
            return fault
    elif not fault.msg.startswith("Illegal trailing comma"):
        return fault
    return json.JSONDecodeError("A comma stands before a closing bracket", text, place)


def _check_depth(body: bytes) -> None:
    """Count brackets outside strings before the parser recurses over them."""
    depth = 0
    for bracket in _STRING.sub(b"", body).translate(None, _NOT_BRACKETS):
        depth += 1 if bracket in _OPENING else -1
        if depth > MOST_DEPTH:
            _refuse("too-deep", f"arrays and objects may be nested at most {MOST_DEPTH} deep")


def _check_characters(text: str) -> None:
    """Refuse what no string may hold, written plainly or as an escape."""
    if found := _FORBIDDEN.search(text):
        _refuse_character(found.start())
    if "\\" not in text:
        return
    for found in _ESCAPE.finditer(text):
        code, letter = found[1], found[2]
        if letter in _CONTROL_LETTERS or (code and _is_forbidden(int(code, 16))):
            _refuse_character(found.start())


def _is_forbidden(code: int) -> bool:
    return code < 0x20 or 0xD800 <= code <= 0xDFFF or bool(_FORBIDDEN.match(chr(code)))


def _refuse_character(place: int) -> NoReturn:
    _refuse(
        "forbidden-character",
        f"character {place + 1} of the body is a control character, a lone surrogate or a "
        "noncharacter, which no string may hold",
    )


def _object(pairs: list[tuple[str, Any]]) -> dict[str, Any]:
    members = dict(pairs)
    if len(members) != len(pairs):
        _refuse("duplicate-key", "an object has the same key twice")
    return members


def _integer(text: str) -> int:
    if len(text) > MOST_DIGITS and len(text.removeprefix("-")) > MOST_DIGITS:
        _refuse("too-many-digits", f"a number has at most {MOST_DIGITS} digits")
    return int(text)


def _decimal(text: str) -> Decimal:
    if len(text) <= MOST_DIGITS and "e" not in text and "E" not in text:
        return Decimal(text)
    found = _NUMBER.fullmatch(text)
    if found is None or len(found[1]) + len(found[2] or "") > MOST_DIGITS:
        _refuse("too-many-digits", f"a number has at most {MOST_DIGITS} digits")
    exponent = found[3] or "0"
    if len(exponent) > 4 or abs(int(exponent)) > MOST_EXPONENT:
        _refuse("exponent", f"an exponent is at most {MOST_EXPONENT} either way")
    return Decimal(text)


def _constant(_: str) -> NoReturn:
    _refuse("not-a-number", "NaN and Infinity are not JSON")


def _refuse(code: str, detail: str) -> NoReturn:
    raise MalformedJson(Fault(code=code, detail=detail)) from None


_DECODER: Final = json.JSONDecoder(
    object_pairs_hook=_object,
    parse_int=_integer,
    parse_float=_decimal,
    parse_constant=_constant,
    strict=True,
)
