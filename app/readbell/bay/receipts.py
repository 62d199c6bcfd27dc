"""Exports that were made while this program writes the record are entered by it."""

from __future__ import annotations

import asyncio
import json
from contextlib import asynccontextmanager, suppress
from dataclasses import field
from typing import TYPE_CHECKING

from readbell.bay.errors import BayClosedError
from readbell.core.exports.acts import NoteExport
from readbell.core.exports.events import Choice, ExportedResult  # noqa: TC001  # read at run time
from readbell.core.instant import SECOND, Instant, Span
from readbell.core.made_later import dataclass
from readbell.core.making import LATER
from readbell.core.policy.sending import ReportFormat  # noqa: TC001  # so too
from readbell.core.private import Private
from readbell.core.refusal import Refusal, RefusalCode
from readbell.journal.receipts import read_receipt, receipts_beside, set_aside, take_away
from readbell.shapes import shape_of

if TYPE_CHECKING:
    from collections.abc import AsyncIterator
    from pathlib import Path

    from readbell.bay.bay import Bay
    from readbell.bay.identifiers import Identifiers
    from readbell.clock.clock import Sleeper
    from readbell.core.board.board import Board
    from readbell.journal.keeper import Keeper

LOOK_EACH = Span(5 * SECOND)
"""How often a running program looks for receipts (our own choice)."""
RANK = 4
"""What others exported comes after all that a bay does itself."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Receipt:
    """What is known of an export that is still to be entered."""

    journal: str
    """Hash of the first event of the record it belongs to, in hexadecimal."""
    by: str | None
    """Key of who asked for it: no name lies beside a record."""
    export: str
    format: ReportFormat
    count: int
    digest: str
    where: str | None
    """The file's name; None where the record is locked."""
    choice: Choice
    results: tuple[ExportedResult, ...]
    left: Instant | None = field(default=None, metadata=LATER)
    """When the file was there, on the bay's time line; None: this was written before it was kept."""


def as_text(receipt: Receipt) -> str:
    """Return the receipt as it lies on the disk: one JSON object."""
    return shape_of(Receipt).write(receipt, _no_private)


def from_text(text: str) -> Receipt | None:
    """Return the receipt that `text` says, or None if it says none."""
    try:
        found = shape_of(Receipt).read(json.loads(text), _no_private)
    except (ValueError, TypeError, LookupError):
        return None
    return found if isinstance(found, Receipt) else None


def _no_private(_: object) -> str:
    raise TypeError


async def enter_receipts(bay: Bay, journal: Path, first: str, identifiers: Identifiers) -> None:
    """Enter what waits beside `journal`; each goes away once it is on record.

    One of another record, or that nobody can read, stays where it is. One that is
    refused is set aside, and the refusal is a near miss.

    Raises:
        BayClosedError: the bay has been laid down; what waits is entered the next time.
    """
    for place in receipts_beside(journal):
        receipt = from_text(read_receipt(place) or "")
        if receipt is None or receipt.journal != first:
            continue
        if receipt.export not in bay.board.exports:
            answer = await bay.do(_act_of(receipt, bay.board, identifiers))
            if answer.refusal is not None:
                if answer.refusal.code is not RefusalCode.NOT_SAVED:
                    set_aside(place)
                continue
        take_away(place)


def once_entered(board: Board, journal: Path, first: str, identifiers: Identifiers) -> Board:
    """Return `board` as it will be once what waits beside `journal` is entered; nothing is written.

    What left a moment ago has left, whether or not anybody had the time to enter it: nothing
    leaves twice for that.
    """
    from readbell.core.board.decide import decide
    from readbell.core.board.fold import fold

    for place in receipts_beside(journal):
        receipt = from_text(read_receipt(place) or "")
        if receipt is None or receipt.journal != first:
            continue
        # When it left makes no difference to what is still to leave.
        decided = decide(board, _act_of(receipt, board, identifiers), Instant(0))
        if not isinstance(decided, Refusal):
            for event in decided:
                board = fold(board, event)
    return board


def _act_of(receipt: Receipt, board: Board, identifiers: Identifiers) -> NoteExport:
    where = receipt.where
    return NoteExport(
        by=board.name(receipt.by),
        export=receipt.export,
        format=receipt.format,
        count=receipt.count,
        digest=receipt.digest,
        where=None
        if where is None
        else Private(key=identifiers.new("private"), salt=identifiers.new("salt"), value=where),
        choice=receipt.choice,
        results=receipt.results,
        left=receipt.left,
    )


@asynccontextmanager
async def entering_receipts(
    bay: Bay, keeper: Keeper, journal: Path, identifiers: Identifiers, sleeper: Sleeper
) -> AsyncIterator[None]:
    """Enter what waits, and what comes to wait, for as long as the context lasts."""
    begins = await keeper.read(lambda source: next(iter(source.records(0)), None))
    first = "" if begins is None else begins.hash.hex()
    await enter_receipts(bay, journal, first, identifiers)
    ended = False

    async def go_on() -> None:
        while not ended:
            await sleeper.sleep(LOOK_EACH)
            if not ended:
                await enter_receipts(bay, journal, first, identifiers)

    going: asyncio.Task[None] = asyncio.create_task(go_on())
    try:
        yield
    finally:
        ended = True
        sleeper.wake()
        with suppress(BayClosedError):  # what waits is entered the next time
            await going
