"""Whether the sizes of a layer's board can be, and are usual."""

from __future__ import annotations

from service.errors import Fault, Finding, TradeRefused
from service.products.goods.board.board import Board, board_of
from service.products.goods.board.spec import BoardProduct
from service.products.kinds.boarding.rulings import Task
from service.products.remarks import Remarks
from service.standards import loader
from service.units.ticks import INCH, whole
from service.units.writing import both

WIDEST = 24 * INCH


def checked_board(task: Task, said: Remarks) -> Board:
    """The board of a layer's product; refuses sizes that cannot be."""
    product, pointer = task.product, task.product_pointer
    board = board_of(product)
    coverage = board.coverage
    if product.overall > WIDEST:
        raise _refused("board-too-wide", "a board is at most 24 in wide", f"{pointer}/overall")
    if not 0 < coverage <= product.overall:
        raise _refused(
            "coverage-wrong",
            f"coverage {both(coverage)} must be over zero and at most the overall width "
            f"{both(product.overall)}",
            f"{pointer}/coverage",
        )
    _agrees(product, coverage, pointer)
    _compare_with_pattern(task, board, said)
    _compare_with_nominal(task, board, said)
    return board


def _agrees(product: BoardProduct, coverage: int, pointer: str) -> None:
    """A matched board covers less than it is wide, by its tongue or lap where that was sent."""
    part = product.tongue if product.tongue is not None else product.lap
    if part is not None and product.overall - part != coverage:
        raise _refused(
            "coverage-contradicts",
            f"overall less tongue or lap is {both(product.overall - part)}, and the coverage sent "
            f"is {both(coverage)}: send one of them, or both right",
            f"{pointer}/coverage",
        )
    if product.profile in ("tongue_and_groove", "shiplap") and coverage == product.overall:
        raise _refused(
            "coverage-is-overall",
            "a board with a tongue or lap covers less than its overall width: send the width that "
            "shows",
            f"{pointer}/coverage",
        )


def _refused(code: str, detail: str, pointer: str) -> TradeRefused:
    return TradeRefused(Fault(code, detail, pointer, rule="2.1"))


def _compare_with_pattern(task: Task, board: Board, said: Remarks) -> None:
    """A finding where the coverage is not the one usual for the nominal width sent."""
    nominal = task.product.nominal
    if nominal is None or nominal.thickness != 1:
        return
    usual = usual_face(task.product.profile, int(nominal.width))
    if usual is None:
        return
    task.rules.note_usual_face()
    if abs(board.coverage - usual) > INCH // 8:
        said.find(
            Finding(
                "coverage-unusual",
                task.at,
                f"coverage {both(board.coverage)}; {both(usual)} is usual for this pattern and "
                "nominal width: measure ten boards laid tight",
                rule="2.2",
                measure=board.coverage,
                limit=usual,
            )
        )


def _compare_with_nominal(task: Task, board: Board, said: Remarks) -> None:
    """A finding where a board is said to cover more than the width it is sold by (0.7)."""
    nominal = task.product.nominal
    if nominal is None or board.coverage <= nominal.width * INCH:
        return
    said.find(
        Finding(
            "coverage-over-nominal",
            task.product.id,
            f"coverage {both(board.coverage)} is over the nominal width of "
            f"{float(nominal.width):g} in: measure ten boards laid tight, or correct `nominal`",
            rule="0.7",
            measure=board.coverage,
            limit=whole(nominal.width * INCH),
        )
    )


def usual_face(profile: str, nominal_width: int) -> int | None:
    """The exposed face (ticks) that the table of board patterns has, or None."""
    for row in loader.table("board_patterns")["rows"]:
        if row["profile"] == profile and nominal_width in row["nominal"]:
            whole, part = row["face"][row["nominal"].index(nominal_width)].split()
            over, under = part.split("/")
            return int(whole) * INCH + int(over) * INCH // int(under)
    return None
