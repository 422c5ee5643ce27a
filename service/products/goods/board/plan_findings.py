"""What should be said of how boards are cut: parted runs, shared boards, shared slanted cuts."""

from __future__ import annotations

from collections.abc import Sequence

from service.errors import Finding
from service.joints.records import Jointed
from service.products.cut_rows import StickRow
from service.products.remarks import Remarks
from service.units.writing import agreeing, both, counted


def say_parted(product: str, parted: int, said: Remarks) -> None:
    """Runs that one board would hold, if there were enough of its length (6.1, 8.9)."""
    if parted:
        said.find(
            Finding(
                "runs-parted",
                product,
                f"{counted(parted, 'runs')} that one board would hold "
                f"{agreeing(parted, 'is', 'are')} jointed: there are too few of its length",
                rule="6.1",
            )
        )


def say_laps(product: str, sticks: Sequence[StickRow], said: Remarks) -> None:
    """Slanted cuts that part two pieces each: they lie over each other in their board (4.5)."""
    laps = [lap for stick in sticks for lap in stick.laps if lap]
    if laps:
        one = len(laps) == 1
        said.find(
            Finding(
                "cuts-shared",
                product,
                f"{counted(len(laps), 'slanted cuts')} {'parts' if one else 'part'} two pieces "
                f"{'' if one else 'each '}that lie over each other in their board, by "
                f"{both(sum(laps))} in all: saw {'it' if one else 'each'} once, along the slant; "
                "the cut list has // between such pieces",
                rule="4.5",
                measure=sum(laps),
            )
        )


def say_rips(product: str, made: Jointed, said: Remarks) -> None:
    """Boards of which more than one rip is made: their offcuts must be kept (3.13)."""
    together = made.together
    lengths = [made.cuts[run][k].need.length for own in together for run, k in own[1:]]
    if lengths:
        saved = sum(lengths)
        said.find(
            Finding(
                "rips-shared",
                product,
                f"{counted(len(lengths), 'rips')}, {both(saved)} in all, made of what is ripped "
                f"off {counted(len(together), 'boards')} that another piece needs: keep it; the "
                "cut list names such pieces with a slash between them",
                rule="3.13",
                measure=saved,
            )
        )
