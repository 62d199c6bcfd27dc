"""What is told first when a bay is taken up again."""

from __future__ import annotations

from typing import TYPE_CHECKING

from readbell.core.cartridge.events import AlertKind
from readbell.core.span_text import write_elapsed
from readbell.phrases.board_words import NAMED
from readbell.phrases.standing import labels

if TYPE_CHECKING:
    from collections.abc import Iterator, Sequence

    from readbell.core.board.board import Board
    from readbell.core.cartridge.events import AlertRaised
    from readbell.core.instant import Span

_GROUPS: tuple[tuple[AlertKind, str], ...] = (
    (AlertKind.LAPSED, "Lapsed meanwhile"),
    (AlertKind.CLOSING, "Closing now"),
    (AlertKind.READ_NOW, "To be read now"),
    (AlertKind.OVERDUE, "Overdue"),
    (AlertKind.WAIT_OVER, "Wait over"),
)


def say_unsure(board: Board, unsure: Sequence[str]) -> str:
    """Return what a restart of unknown length means for the cartridges `unsure`."""
    found = [each for each in map(board.cartridge, unsure) if each is not None]
    read = [each.id for each in found if each.has_ended]
    developing = [each.id for each in found if each.applied is not None and not each.has_ended]
    waiting = [each.id for each in found if each.applied is None]
    said = "The wall clock cannot be trusted since this restart, so nobody knows how long it took."
    if developing:
        said += (
            f" No outcome comes of {labels(board, developing)} until the time of the drops is "
            "stated from the cartridge, with a witness."
        )
    if waiting:
        said += f" The wait of {labels(board, waiting)} counts as too long."
    if read:
        said += f" The reading of {labels(board, read)} stays as it was entered."
    return said


def welcome(
    *,
    board: Board,
    is_new: bool,
    clean: bool,
    away: Span,
    fell_due: Sequence[AlertRaised],
    unsure: Sequence[str],
    new_station: str = "",
) -> Iterator[str]:
    """Yield what happened while nobody watched, the worst first; a `new_station` was never here."""
    if is_new:
        founded = board.founded
        where = (
            ""
            if founded is None
            else f"{founded.bay}: a new journal, times in {founded.timezone}. "
        )
        # Whoever answered the questions of a first start has done all of it already.
        asked = (
            "" if board.lots else "Register an operator, adopt an assay and receive a lot to begin."
        )
        if where or asked:
            yield f"{where}{asked}".rstrip()
        return
    how = "" if clean else " The last run did not end cleanly; nothing acknowledged is lost."
    running = len(board.running)
    began = (
        f"Station {new_station} is new here."
        if new_station
        else f"Back after {write_elapsed(away)}."
    )
    yield f"{began} {running} running.{how}"
    told: set[str] = set()
    for kind, words in _GROUPS:
        # The gravest word for each cartridge is enough; each alert is in the record.
        found = [
            each.cartridge for each in fell_due if each.alert is kind and each.cartridge not in told
        ]
        told.update(found)
        if found:
            # Hundreds of labels would be read by nobody and hide what follows them.
            many = f", {len(found)}" if len(found) > NAMED else ""
            yield f"{words}{many}: {labels(board, found)}."
    if unsure:
        yield say_unsure(board, unsure)
