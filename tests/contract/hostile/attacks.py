"""What is put into a place: wrong types, extremes, hostile strings, measures that bite a parser."""

from __future__ import annotations

from typing import Any

from tests.contract.hostile.walking import Raw

MARK = "qzx9k"
"""Stands in every hostile string; no error and no line of the log may repeat it."""

TYPES: tuple[Any, ...] = (
    None, True, False, [], {}, [[]], [{}], [None], {"": {}}, "", " ", "true", "null", "0.05",
    "nan", "NaN", "inf", "1_000", "0x10", "1e3", "+1", "-1", "０", "١٢", 0, 1, -1, 1.0, 0.5,
    [1], ["1"], {"value": 1}, {"$ref": "#"}, {"__proto__": {}}, [[[[[[[[]]]]]]]],
)  # fmt: skip
"""Another type, or a string that a lax reader would take for a number."""

NUMBERS: tuple[Any, ...] = (
    0, -1, 1e-300, -1e-300, 5e-324, 1e300, -1e300, 1.7e308, 1e15, 10**15 + 0.5, 2**31, 2**53 + 1,
    2**63, 10**23, 10**24, 0.1, 1e-7, 1e-6, 9_999_999.999999, 10_000_000, 10_000_000.000001,
    *(Raw(text) for text in (
        "-0", "-0.0", "0e0", "0E400", "1e400", "-1e400", "1e-400", "1e99999999999", "1e-99999999",
        "9" * 25, "9" * 4_301, "1" + "0" * 4_000, "0." + "0" * 400 + "1", "1." + "3" * 5_000,
        "NaN", "Infinity", "-Infinity", "nan", "inf", "+1", "01", "1.", ".5", "0x1F", "1_000",
        "1,5", "--1", "1e", "1e+", "1d3", "0b1", "1f", "١", "1 2",
    )),
)  # fmt: skip
"""Numbers at and past the edges, and texts that are no JSON numbers."""

_SCRIPTS = (
    "<script>alert(1)</script>",
    '"><svg onload=alert(1)>',
    "javascript:alert(1)",
    "]]><x/>",
    "<!DOCTYPE x [<!ENTITY e SYSTEM 'file:///etc/passwd'>]>&e;",
    "<foreignObject>",
    "&#x1;",
    "<a href='javascript:1'>",
    "<img src=x onerror=1>",
    "</text></svg><svg>",
    "--><!--",
    "<b>",
    "{{7*7}}",
    "${7*7}",
    "<%= 7*7 %>",
    "#{7*7}",
    "%s%s%n",
    "{0.__class__}",
    "'; DROP TABLE x;--",
    "../../../../etc/passwd",
    "..\\..\\boot.ini",
    "file:///etc/passwd",
    "$(id)",
    "`id`",
    "| id",
)
_FORMULAS = tuple(
    opener + rest
    for opener in ("=", "+", "-", "@", "\t=", "\r=", "\n=", " =", "＝", "＋", "－", "＠", "'=",
                   "\u00a0=")
    for rest in ("1+1", "cmd|'/c calc'!A1", "HYPERLINK(\"http://x.invalid\")", "SUM(A1:A9)")
)  # fmt: skip
_CHARACTERS = (
    "\x00", "\x01", "\x07", "\x08", "\x0b", "\x1b[31m", "\x7f", "\x85", "\x9f", "\r\n", "\n", "\t",
    "\ud800", "\udfff", "\ud800\ud800", "\ufffe", "\uffff", "\ufdd0", "\ufeff", "\u2028", "\u2029",
    "\u202e", "\u2066", "\u200b", "\u00ad", "\U0001f9f1", "\U000e0041", "\U0010ffff",
    "\u0301" * 300, "İ", "ß", "ﬀ", "ﷺ" * 18, "𝟙𝟚", "½", "①", "Ⅷ", "\r\nSet-Cookie: a=b", "\"", "\\",
    "\\u0000", "\\ud800",
)  # fmt: skip
_LONG = tuple(
    text * count
    for text in ("a", "1", " ", "_", "kilo", "1 ", "1-", "'", "(", "9**", "a!", "\\", '"', "½")
    for count in (40, 41, 501, 50_000)
)

STRINGS: tuple[str, ...] = tuple(
    text + MARK if place % 2 else MARK + text if len(text) > 40 else text
    for place, text in enumerate((*_SCRIPTS, *_FORMULAS, *_CHARACTERS, *_LONG))
)
"""Strings that bite whoever writes them out, logs them, or matches them."""

BOMBS: tuple[str, ...] = (
    "9**9**9", "9**9**9 m", "9^9^9 mm", "10**10**10 m", "9⁹⁹⁹⁹⁹⁹⁹ m", "(9**9)**(9**9) m",
    "10**(10**8) mm", "m*10**10**9", "9**9**9%7 m", "1**9**9**9 m", "2" + "**2" * 12,
    "7**7777777 m",
    "2**10000000000 m", "m**9**9**9", "1 mm * 10**10**10", "1e9999999 m", "1e1000000000 m",
    "1e-1000000000 m", "km**100000000", "(10**4299)**1000 m", "1/0 m", "0**-1 m", "10.0**400 m",
    "(5 m", "()", "*", "'", "-" * 30, "(" * 30, "20 degC", "nan m", "inf in", "1e400 m",
    "kilokilometer", "1 kilokilokilometer", "5 m = 6 m", "5 m | 3 m", "5 mil",
    "5 m 3", "5 5", "(-8)**(1/3) m", "__import__('os').system('id')", "1 m; 2 m", "5 m\n", "5\x00m",
    "٣ m", "３ in", "1_000 mm", "+5 in", "-5 in", "5..5 m", "5.5.5 m", "0x10 in", "5e0 in", "1 ~in",
)  # fmt: skip
"""Measures that make an expression parser hang, raise or misread. None is in the grammar."""

SPELLINGS: tuple[tuple[str, str | None], ...] = (
    ("5.5 in", "139.7"), ("5 1/2 in", "139.7"), ("5-1/2 in", "139.7"), ('5-1/2"', "139.7"),
    ("5½ in", "139.7"), ("5 ½ in", "139.7"), ('5½"', "139.7"), ("5 1/2 inches", "139.7"),
    ("5.5in", "139.7"), ("5.5 IN", "139.7"), ("5.5 inch", "139.7"), ("5.500000 in", "139.7"),
    ("139.7 mm", "139.7"), ("139.7mm", "139.7"), ("139.7 MM", "139.7"), ("13.97 cm", "139.7"),
    (".1397 m", "139.7"),
    ("0.1397 metres", "139.7"), ("139.7 millimeters", "139.7"), ("0' 5-1/2\"", "139.7"),
    ("0 ft 5 1/2 in", "139.7"), ("0 feet, 5.5 inches", "139.7"), ("5.5″", "139.7"),
    ("5.5”", "139.7"), ("0′ 5½″", "139.7"), ("0’-5 1/2”", "139.7"),
    *((text, None) for text in (
        "5,5 in", "5.5,0 in", "1.39,7 m", "139,7 mm", "0,1397 m", "1 39.7 mm", "139\u00a0.7 mm",
        "139.7", "5 1/2", "5½", "5 1/2 1/2 in", "5 3/2 in", "5 1/3 in", "5.5 1/2 in", "0' 12\"",
        "5' 6' 1\"", "0ft5in3", "5 1 / 2 in", "5 1/2", "5 1⁄2 in", "5 １/2 in", "5/1/2 in",
        "in 5.5", "5.5 in in", "5.5 in + 0 in", "5.5 in*1", "(5.5 in)", "5.5 zoll", "55e-1 in",
        "5.5 in\u200b", "5.5\u202f in", "\t5.5 in", "5.5  in", "1'397 mm", "1_39.7 mm", "5.5 i n",
    )),
)  # fmt: skip
"""A spelling, and the millimetres that a carpenter means; None where it must be refused."""

KEYS: tuple[str, ...] = (
    "",
    " ",
    "x",
    "Unit",
    "unitt",
    "_id",
    "id ",
    "ID",
    "__proto__",
    "constructor",
    "$ref",
    "wast",
    "\u200bid",
    "note\x00",
    "a" * 64,
    "<script>" + MARK,
    "../" + MARK,
    "\ud800",
    "ｉd",
    "metadata",
)
"""Keys that no object has."""
