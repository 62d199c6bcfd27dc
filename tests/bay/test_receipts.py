"""Exports that were made beside a running bay are entered by it, once, and by no other."""

from __future__ import annotations

import asyncio
from dataclasses import replace
from datetime import date
from typing import TYPE_CHECKING

import pytest

from bay.conftest import HandSleeper
from readbell.bay.identifiers import DerivedIdentifiers
from readbell.bay.receipts import Receipt, as_text, enter_receipts, entering_receipts, from_text
from readbell.core.exports.events import EVERYTHING, Choice, ExportedResult, ResultsExported
from readbell.core.instant import HOUR, Instant
from readbell.core.policy.sending import ReportFormat
from readbell.core.reading.interpretation import Outcome
from readbell.core.results.status import ResultStatus
from readbell.journal.errors import NotWrittenError
from readbell.journal.receipts import leave_receipt, receipts_beside

if TYPE_CHECKING:
    from pathlib import Path

    from bay.conftest import Place, Work

FIRST = "ab" * 32
RECEIPT = Receipt(
    journal=FIRST,
    by=None,
    export="export-1",
    format=ReportFormat.FHIR,
    count=0,
    digest="0" * 64,
    where="/out/file",
    choice=EVERYTHING,
    results=(),
)


def test_a_receipt_reads_back_as_it_was_written() -> None:
    """With whatever was chosen."""
    whole = replace(
        RECEIPT,
        by="key-1",
        where=None,
        choice=Choice(since=date(2026, 3, 29), outcomes=(Outcome.POSITIVE,), unsent=True),
        results=(
            ExportedResult(
                cartridge="c", version=2, status=ResultStatus.AMENDED, as_correction=True
            ),
        ),
    )
    assert from_text(as_text(whole)) == whole
    assert from_text(as_text(replace(whole, left=Instant(7)))) == replace(whole, left=Instant(7))
    assert "left" not in as_text(whole)  # as a program of before wrote it, and still reads it
    for spoiled in ("", "{}", "[]", "7", as_text(whole)[:-9], as_text(whole).replace("fhir", "x")):
        assert from_text(spoiled) is None


def left(work: Work, place: Place, **said: object) -> Path:
    """A receipt beside the journal, by op-1 unless said otherwise."""
    found = replace(RECEIPT, **({"by": work.bay.board.operators["op-1"]} | said))  # type: ignore[arg-type]
    return leave_receipt(place.path, as_text(found))


async def enter(work: Work, place: Place) -> None:
    """Have the bay enter what waits."""
    await enter_receipts(work.bay, place.path, FIRST, DerivedIdentifiers(b"receipts"))


async def exported(work: Work) -> list[ResultsExported]:
    """What is on record of exports."""
    return [each.event for each in await work.stored() if isinstance(each.event, ResultsExported)]


async def test_what_waits_is_entered_once_and_taken_away(work: Work, place: Place) -> None:
    """With who asked for it and where it went."""
    left(work, place)
    await enter(work, place)
    assert list(receipts_beside(place.path)) == []
    (event,) = await exported(work)
    assert event.by == work.bay.board.operators["op-1"]
    assert event.where is not None
    assert event.where.value == "/out/file"
    left(work, place, where=None)
    await enter(work, place)
    assert list(receipts_beside(place.path)) == []
    assert await exported(work) == [event]


async def test_what_is_entered_late_is_on_record_at_the_instant_at_which_it_left(
    work: Work, place: Place
) -> None:
    """The board may have stood still all night; when it was entered the record says beside it."""
    when = work.bay.now()
    work.clock.advance("8:00:00")
    left(work, place, left=when)
    left(work, place, export="export-2")
    await enter(work, place)
    late, old = (each for each in await work.stored() if isinstance(each.event, ResultsExported))
    assert late.event.at == when
    assert late.stamp.at == old.event.at == when + 8 * HOUR


async def test_where_a_file_went_is_left_out_beside_a_locked_record(
    work: Work, place: Place
) -> None:
    """Its name may name somebody."""
    left(work, place, where=None)
    await enter(work, place)
    (event,) = await exported(work)
    assert event.where is None


async def test_what_is_of_another_record_or_makes_no_sense_is_left_where_it_is(
    work: Work, place: Place
) -> None:
    """Somebody may still want it."""
    waiting = [left(work, place, journal="cd" * 32), leave_receipt(place.path, "not one")]
    await enter(work, place)
    assert sorted(receipts_beside(place.path)) == sorted(waiting)
    assert await exported(work) == []


async def test_what_the_bay_refuses_is_set_aside_and_is_a_near_miss(
    work: Work, place: Place
) -> None:
    """It is not tried again and again."""
    stranger = ExportedResult(cartridge="nobody's", version=1, status=ResultStatus.FINAL)
    left(work, place, results=(stranger,))
    await enter(work, place)
    assert list(receipts_beside(place.path)) == []
    assert [each.name.endswith(".refused") for each in place.path.parent.glob("*exported*")] == [
        True
    ]
    assert await exported(work) == []


async def test_as_long_as_nothing_can_be_saved_it_waits(work: Work, place: Place) -> None:
    """Nothing that left is forgotten for a full disk."""
    left(work, place)
    with pytest.MonkeyPatch.context() as broken:

        async def refuses(*_: object, **__: object) -> None:
            raise NotWrittenError("full")  # noqa: EM101  # the disk's own word

        broken.setattr(work.keeper, "append", refuses)
        await enter(work, place)
    assert len(receipts_beside(place.path)) == 1
    await enter(work, place)
    assert len(await exported(work)) == 1


async def test_a_running_bay_looks_for_more_until_it_is_laid_down(work: Work, place: Place) -> None:
    """What waits at the start, and what comes meanwhile."""
    begins = await work.keeper.read(lambda source: next(iter(source.records(0))))
    sleeper = HandSleeper()
    left(work, place, journal=begins.hash.hex())
    identifiers = DerivedIdentifiers(b"receipts")
    entered = asyncio.Event()
    async with entering_receipts(work.bay, work.keeper, place.path, identifiers, sleeper):
        assert len(await exported(work)) == 1
        work.bay._recorder.subscribe(lambda _: entered.set())
        left(work, place, journal=begins.hash.hex(), export="export-2")
        sleeper.wake()
        await entered.wait()
    assert len(await exported(work)) == 2
    assert list(receipts_beside(place.path)) == []
