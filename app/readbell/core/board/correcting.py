"""Whether a reader may still mend a slip: not once somebody has heard what it says.

What was told or sent stays with whoever heard it. From then on it takes a supervisor, who
amends it with a reason, and everybody who heard it is told anew.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

from readbell.core.refusal import Refusal, RefusalCode

if TYPE_CHECKING:
    from readbell.core.board.board import Board
    from readbell.core.cartridge.cartridge import Cartridge


def refuse_correction(board: Board, cartridge: Cartridge) -> Refusal | None:
    """Say why the reading of `cartridge` is corrected no more, or None.

    What was told or sent before it, of a positive seen early, is no matter.
    """
    reading = cartridge.reading
    if reading is None:
        return None
    told = (each.at for each in board.told.get(cartridge.id, ()))
    sent = (each.at for each in board.sent.get(cartridge.id, ()))
    if any(at >= reading.at for at in (*told, *sent)):
        return Refusal(code=RefusalCode.ALREADY_READ, subject=cartridge.label)
    return None
