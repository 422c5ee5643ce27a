"""Texts of the request as they may stand on paper."""

from __future__ import annotations

from unicodedata import category


def printable(text: str) -> str:
    """`text` with control characters as spaces, and what is no character for display replaced."""
    if text.isprintable():
        return text
    return "".join(
        " " if kind == "Cc" else "\ufffd" if kind[0] == "C" else character
        for character, kind in ((character, category(character)) for character in text)
    )
