"""The desk of a bay: lines in, answers out."""

from __future__ import annotations

from typing import TYPE_CHECKING, TypeAlias

from readbell.core.made_later import dataclass
from readbell.core.private import Private
from readbell.core.shift.checks import Facts

if TYPE_CHECKING:
    from collections.abc import Callable

    from readbell.bay.bay import Bay
    from readbell.bay.identifiers import Identifiers
    from readbell.bay.news import Answer
    from readbell.bay.pins import Pins
    from readbell.core.assay.assay import Assay
    from readbell.core.board.board import Board
    from readbell.core.results.telling import ResultTold
    from readbell.scenarios.line import Request

HandOver: TypeAlias = "Callable[[Board, ResultTold], object]"
"""Makes the slip that a telling says is handed over."""


def nothing_known(_: Board) -> Facts:
    """Return what is known of a computer that nobody has looked at: nothing."""
    return Facts()


def no_slip(_board: Board, _telling: ResultTold) -> None:
    """Make none."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Desk:
    """Turns lines into acts.

    Attributes:
        find_assay: gives the assay of an id, and its content hash.
        pins: keeps the PINs of the bay's operators; None where none can be.
    """

    identifiers: Identifiers
    find_assay: Callable[[str], tuple[Assay, str]]
    pins: Pins | None = None
    look_about: Callable[[Board], Facts] = nothing_known
    """Says what the computer says of itself when a shift is opened."""
    hand_over: HandOver = no_slip
    """Makes the slip that is handed over."""

    async def serve(self, bay: Bay, line: Request) -> Answer:
        """Do what `line` asks.

        Raises:
            WrongFileError: the line names an assay that is not at hand.
        """
        # A picture needs a desk to be there; what every kind of line comes to, the first line does.
        from readbell.bay.at_the_desk import serve_line

        return await serve_line(self, bay, line)

    def private(self, value: str) -> Private:
        """Return `value` kept apart, under a key of its own."""
        return Private(
            key=self.identifiers.new("key"),
            salt=self.identifiers.new("salt"),
            value=value,
        )
