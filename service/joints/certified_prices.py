"""Prices that a proof may take: those of the programme, and of bare length."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace

from service.joints.certificate import ALL_WHOLE, WHOLE, Prices, Question, Steps, risen
from service.joints.certified_lengths import of_length
from service.joints.certified_programme import Programmes, of_programme
from service.joints.certified_sum import caps, proved, within_cost

MOST_FACES, EIGHTHS = 4, 8
"""Widths of rips that each have their own share; more go by the eighth of a board."""


def best_prices(asked: Question, own: Programmes, enough: int) -> tuple[int, Prices] | None:
    """What the best of some prices prove, in worths, and these; None if none prove anything.

    No more are tried once `enough` is proved.
    """
    best: tuple[int, Prices] | None = None
    for prices in _tried(asked, own):
        sure = within_cost(asked, prices)
        over = caps(asked, sure)
        for widths in _widths(asked) if over is not None else ():
            least = proved(asked, replace(sure, widths=widths), over or ())
            if least is not None and (best is None or least > best[0]):
                best = least, replace(sure, widths=widths)
        if best is not None and best[0] >= enough:
            break
    return best


def _tried(asked: Question, own: Programmes) -> Iterator[Prices]:
    """Those of the programme where all stations are listed, else those by the length."""
    if all(run.stations is not None for run in asked.runs):
        yield of_programme(asked, own)
    else:
        yield from of_length(asked)


def _widths(asked: Question) -> list[Steps]:
    """Shares of a whole board by the width of a rip: by area, and all for what shares with none."""
    faces = sorted({run.width for run in asked.runs if run.width < asked.face})
    if asked.board is None:
        return [ALL_WHOLE]
    if not faces:
        return [Steps((asked.face,), (WHOLE,))]
    room = asked.board + asked.kerf
    wide = [face + asked.kerf for face in faces]
    if len(faces) > MOST_FACES:
        wide = [room * k // EIGHTHS for k in range(1, EIGHTHS)]
    by_area = ((one - asked.kerf, WHOLE * one // room) for one in wide)
    alone = ((face, WHOLE) for face in faces if 2 * (face + asked.kerf) > room)
    return [risen([*own, (asked.face, WHOLE)]) for own in (by_area, alone)]
