"""The drawing of a takeoff: one SVG document of pages, letter or A4, one below the other.

A surface with several layers has a page that shows all of them, then each has a page for what must
stand behind it, one for each of its layers, from the framing outward, and a section through the
build-up. The document stands by
itself: no scripts, styles, links or references. The same sheets give the same bytes.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator, Sequence
from dataclasses import replace
from functools import partial

from service.errors import Fault, ShapeRefused
from service.products.cut_across import Section
from service.products.drawing import DrawnLayer, Paper, Sheet
from service.report.drawing.ink import FACE, number, quoted
from service.report.drawing.page import page
from service.report.drawing.section import section_page
from service.report.drawing.see_through import beside, stacked
from service.report.drawing.strips import spread

MEDIA = "image/svg+xml"
_MOST_NAMED = 20


def draw(sheets: Sequence[Sheet], surface: str | None = None, layer: str | None = None) -> bytes:
    """All pages, or those of one `surface` or `layer` id, as UTF-8.

    Raises ShapeRefused when there is no such surface or layer, and says which there are.
    """
    picked = _picked(sheets, surface, layer)
    parts = _pages(picked)
    names = ", ".join(dict.fromkeys(sheet.surface for sheet, _ in picked))
    head = '<?xml version="1.0" encoding="UTF-8"?>\n'
    title = f"<title>{quoted(f'Takeoff drawing: {names}')}</title>\n"
    return (head + _document(title, parts, FACE, picked[0][0].paper)).encode()


def draw_apart(sheets: Sequence[Sheet], face: str = FACE) -> list[str]:
    """Every page as a document of its own, its words in the font `face`."""
    picked = _picked(sheets, None, None)
    paper = picked[0][0].paper
    return [_document("", [one], face, paper, k) for k, one in enumerate(_pages(picked))]


def _document(title: str, parts: Sequence[str], face: str, paper: Paper, before: int = 0) -> str:
    """Pages one below the other, `before` of which others stand."""
    wide, high = number(paper.wide), number(paper.high * len(parts))
    at = number(paper.high * before)
    below = f' y="{at}"' if before else ""
    return (
        f'<svg xmlns="http://www.w3.org/2000/svg" width="{wide}mm" height="{high}mm" '
        f'viewBox="0 {at} {wide} {high}" role="img" font-family="{face}" fill="#000">\n'
        f"{title}"
        f'<rect class="paper"{below} width="{wide}" height="{high}" fill="#fff"/>\n'
        f"{''.join(parts)}</svg>\n"
    )


Page = tuple[Sheet, DrawnLayer | Section | None]


def _pages(picked: Sequence[Page]) -> list[str]:
    """What each page adds to a document, as it says how many there are."""
    made = _made(picked)
    return [write(len(made)) for write in made]


def _made(picked: Sequence[Page]) -> list[Callable[[int], str]]:
    """Every page in order: what writes it once it is known how many there are."""
    made: list[Callable[[int], str]] = []
    for sheet, drawn in picked:
        number = len(made) + 1
        if isinstance(drawn, Section):
            made.append(partial(section_page, sheet, drawn, number))
        elif drawn not in (None, sheet.backing, *sheet.layers):
            made.append(partial(page, sheet, drawn, number))
        else:
            made += [one.svg for one in spread(sheet, drawn, number)]
    return made


def chosen(sheets: Sequence[Sheet], surface: str | None) -> list[Sheet]:
    """All sheets, or that of one `surface` id.

    Raises ShapeRefused when there is none of that name, and says which there are.
    """
    found = [beside(sheet) for sheet in sheets if surface is None or sheet.surface == surface]
    if not found:
        raise _unknown("surface", (sheet.surface for sheet in sheets))
    return found


def _picked(sheets: Sequence[Sheet], surface: str | None, layer: str | None) -> list[Page]:
    own = chosen(sheets, surface)
    if layer is None:
        return list(_once([page for sheet in own for page in _all_of(sheet)]))
    single = [(sheet, each) for sheet in own for each in _singly(sheet)]
    pages: list[Page] = [
        page for sheet, each in single if each.layer == layer for page in _of_layer(sheet, each)
    ]
    if not pages:
        raise _unknown("layer", (each.layer for _, each in single))
    return pages


def _once(pages: Sequence[Page]) -> Iterator[Page]:
    """Sections that are alike stand once, on the first of the surfaces that have them."""
    alike: dict[tuple[object, ...], list[str]] = {}
    for sheet, drawn in pages:
        if isinstance(drawn, Section):
            alike.setdefault(_built_up(sheet, drawn), []).append(sheet.surface)
    for sheet, drawn in pages:
        if not isinstance(drawn, Section):
            yield sheet, drawn
            continue
        first, *others = alike[_built_up(sheet, drawn)]
        if sheet.surface == first:
            section = replace(drawn, also=tuple(others))
            yield replace(sheet, section=section), section


def _built_up(sheet: Sheet, section: Section) -> tuple[object, ...]:
    """All that a section shows."""
    cuts = tuple((layer.layer, layer.cut) for layer in sheet.layers if layer.cut is not None)
    return section, cuts, sheet.title, sheet.support


def _singly(sheet: Sheet) -> Iterator[DrawnLayer]:
    """All that has a page of its own: what stands behind it, then its layers."""
    if sheet.backing is not None:
        yield sheet.backing
    yield from sheet.layers


def _all_of(sheet: Sheet) -> Iterator[Page]:
    """Every page of a surface: its layers seen through each other, one by one, and cut across."""
    if len(sheet.layers) > 1:
        yield sheet, stacked(sheet)
    if sheet.backing is not None:
        yield sheet, sheet.backing
    for each in sheet.layers:
        yield from _of_layer(sheet, each)
    if not sheet.layers:
        yield sheet, None
    if sheet.section is not None:
        yield sheet, sheet.section


def _of_layer(sheet: Sheet, layer: DrawnLayer) -> Iterator[Page]:
    """A layer's own page, and one for each of its details."""
    yield sheet, layer
    for one in layer.details:
        drawn = DrawnLayer(layer.layer, layer.kind, one.marks, one.notes)
        yield (
            Sheet(
                surface=sheet.surface,
                title=one.title,
                outline=one.outline,
                openings=(),
                members=(),
                layers=(drawn,),
                view_note=one.note,
                unit=sheet.unit,
                paper=sheet.paper,
            ),
            drawn,
        )


def _unknown(parameter: str, names: Iterable[str]) -> ShapeRefused:
    there = sorted(set(names))
    listed = ", ".join(there[:_MOST_NAMED]) or "none"
    more = f" and {len(there) - _MOST_NAMED} more" if len(there) > _MOST_NAMED else ""
    return ShapeRefused(
        Fault(
            f"unknown-{parameter}",
            f"The query parameter `{parameter}` names no {parameter} of this job; "
            f"it has: {listed}{more}.",
        )
    )
