"""What pieces are called on paper: by no more than it takes to tell them apart."""

from __future__ import annotations

from collections.abc import Sequence

from service.report.printout.rows import Row


def shortened(pieces: Sequence[Row]) -> dict[str, str]:
    """The name of each piece by its id: its label, behind what tells its place from others'.

    The surface where its product lies on several, the layer where it is in several:
    `boards.1.1.1` beside `border.1.1.1` of one deck, `front.1.1.1` beside `side.1.1.1`.
    """
    surfaces: dict[str, set[str]] = {}
    layers: dict[str, set[str]] = {}
    for piece in pieces:
        surfaces.setdefault(piece["product"], set()).add(piece["surface"])
        layers.setdefault(piece["product"], set()).add(piece["layer"])
    return {
        piece["id"]: ".".join(
            (
                *([piece["surface"]] if len(surfaces[piece["product"]]) > 1 else ()),
                *([piece["layer"]] if len(layers[piece["product"]]) > 1 else ()),
                piece["label"],
            )
        )
        for piece in pieces
    }


def labels(pieces: Sequence[Row]) -> dict[str, str]:
    """The label of each piece by its id, for what is told of one layer alone."""
    return {piece["id"]: piece["label"] for piece in pieces}
