"""What was counted of a whole record: of the layers of its snapshot, and of what came after them."""

from __future__ import annotations

from typing import TYPE_CHECKING

from readbell.journal.counting import A_STEP, counting, unpacked

if TYPE_CHECKING:
    from collections.abc import Callable, Iterator

    from readbell.core.board.board import Board
    from readbell.core.figures.counted import Counted
    from readbell.journal.snapshot import Base


def all_counted(board: Board, base: Base, tell: Callable[[int, int], None]) -> Iterator[Counted]:
    """Yield what was counted of all that led to `board`, a part at a time, to be added up.

    Args:
        board: how the bay stands.
        base: a snapshot of it at some earlier event; where there was none all of it is walked.
        tell: is told how many cartridges of how many are done.
    """
    all_of_them, newer = len(board.ended), len(board.ended) - len(base.board.ended)
    for place, layer in enumerate(base.layers, 1):
        yield unpacked(layer.counted)
        tell((all_of_them - newer) * place // len(base.layers), all_of_them)
    done = all_of_them - newer
    for found in counting(base.board, board):
        done = min(done + A_STEP, all_of_them)
        tell(done, all_of_them)
        if found is not None:
            yield found
