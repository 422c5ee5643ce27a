"""What is sawn, batch by batch, on paper: lengths at one stop, then one setting after another."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator, Mapping, Sequence
from typing import Final

from service.report.printout.columns import UNBROKEN, Setting, abreast, paragraph
from service.report.printout.lengths import Lengths
from service.report.printout.ranges import in_ranges
from service.report.printout.rows import Row
from service.report.printout.saw_words import SawSetting, settings, short_points


def batches(answer: Row, product: str, lengths: Lengths) -> list[Setting]:
    """How many pieces there are of each length, one stop of the saw after another.

    Nothing where hardly any two are alike.
    """
    pieces = {piece["id"]: piece["length"] for piece in answer["pieces"]}
    cut = [
        length
        for stick in answer["sticks"]
        if stick["product"] == product
        for length in (
            *stick["cuts"],
            *(pieces[name] for names in stick["beside"] for name in names),
        )
    ]
    counts = Counter(cut)
    if 2 * len(counts) > len(cut):
        return []
    return abreast(
        f"{counts[length]:>4} at {lengths.station(length)}"
        for length in sorted(counts, reverse=True)
    )


def saw_settings(
    answer: Row, product: str, short: Mapping[str, str], lengths: Lengths
) -> list[Setting]:
    """Every setting with the pieces that it is for, the longest first; nothing without any."""
    found: dict[SawSetting, list[Row]] = {}
    own = [piece for piece in answer["pieces"] if piece["product"] == product]
    for piece in own:
        for setting in settings(piece, lengths):
            found.setdefault(setting, []).append(piece)
    every = Counter(lengths.station(piece["length"]) for piece in own)
    lines: list[Setting] = []
    for setting in sorted(found, key=lambda one: one.place):
        told = "; ".join(_at_lengths(found[setting], setting, short, every, lengths))
        lines += paragraph(f"{unbroken(setting.text)}: {told}", "    - ")
    return lines


_FEWEST_AT_ONCE: Final = 3
"""So many of a length are not named where there are no others of it."""


def _at_lengths(
    pieces: Sequence[Row],
    setting: SawSetting,
    short: Mapping[str, str],
    every: Mapping[str, int],
    lengths: Lengths,
) -> Iterator[str]:
    """`2 at 11' 11" [1.1.1; 24.1.1]`, the longest first; with the short point of an angle.

    `every` is how many there are of each length: where they all are set for, they need no names.
    """
    alike: dict[tuple[str, str], list[str]] = {}
    for piece in sorted(pieces, key=lambda one: -one["length"]):
        inner = _short_point(piece, lengths) if setting.is_angle else ""
        alike.setdefault((lengths.station(piece["length"]), inner), []).append(short[piece["id"]])
    for (length, inner), names in alike.items():
        at = f"{len(names)} at {length}".replace(" ", UNBROKEN)
        if _FEWEST_AT_ONCE <= len(names) == every[length]:
            yield f"all{UNBROKEN}{at}{unbroken(inner)}"
        else:
            yield f"{at}{unbroken(inner)} [{'; '.join(in_ranges(names))}]"


def unbroken(text: str) -> str:
    """A text in which no line ends between feet and inches."""
    return text.replace("' ", f"'{UNBROKEN}")


def _short_point(piece: Row, lengths: Lengths) -> str:
    """What the edges measure where the ends are cut to an angle: the shorter, or both if alike."""
    edges = short_points(piece)
    if not edges:
        return ""
    near, far = map(lengths.station, edges)
    whole = lengths.station(piece["length"])
    inner = [edge for edge in dict.fromkeys((near, far)) if edge != whole]
    names = {near: "near edge", far: "far edge"}
    if len(inner) == 1:
        word = "each edge" if near == far else "short point"
        return f", {word} {inner[0]}"
    return "".join(f", {names[edge]} {edge}" for edge in inner)
