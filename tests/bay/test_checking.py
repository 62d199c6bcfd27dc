"""What becomes known of the record while a bay runs on it, and what follows from it."""

from __future__ import annotations

import asyncio
import sys
from typing import TYPE_CHECKING

import pytest

from readbell.bay.checking import ENDED_EARLY, RecordChecking
from readbell.core.board.record_check import RecordCheck, RecordState
from readbell.core.refusal import RefusalCode
from readbell.journal.checking import as_line

if TYPE_CHECKING:
    from bay.conftest import Work
    from readbell.core.instant import Span

HALF = RecordCheck(state=RecordState.CHECKING, percent=50)
WHOLE = RecordCheck(state=RecordState.WHOLE, event=9)
BROKEN = RecordCheck(state=RecordState.BROKEN, event=7, why="it was changed")


class AtOnce:
    """Sleeps for no time at all."""

    async def sleep(self, span: Span | None) -> None:
        """Go on."""

    def wake(self) -> None:
        """Nobody sleeps."""

    def retire(self) -> None:
        """Nobody slept."""


def saying(*lines: str, then: str = "") -> list[str]:
    """Return the command of a check that says `lines`."""
    said = "".join(f"print({line!r}, flush=True);" for line in lines)
    return [sys.executable, "-I", "-S", "-c", said + then]


def checked_by(work: Work, command: list[str]) -> RecordChecking:
    """Return a check of the bay of `work` by `command`."""
    return RecordChecking(recorder=work.bay._recorder, sleeper=AtOnce(), command=command)


async def test_it_is_told_as_it_goes(work: Work) -> None:
    """As the other news of a bay, without an event."""
    before = len(work.told)
    check = checked_by(work, saying(as_line(HALF), as_line(WHOLE)))
    assert work.bay.present().record_check.state is RecordState.CHECKING

    await check.run()

    assert [each.record_check for each in work.told[before:]] == [HALF, WHOLE]
    assert [each.events for each in work.told[before:]] == [(), ()]


@pytest.mark.parametrize(
    "command",
    [
        pytest.param(saying(as_line(HALF)), id="it ended half way"),
        pytest.param(saying("what?"), id="it speaks in riddles"),
        pytest.param(saying("[]"), id="it says nothing"),
    ],
)
async def test_a_check_that_ends_early_is_no_check(work: Work, command: list[str]) -> None:
    """Nobody is to think that the record was checked."""
    await checked_by(work, command).run()

    assert work.bay.present().record_check == ENDED_EARLY


async def test_a_check_that_cannot_begin_is_told(work: Work) -> None:
    """The bay goes on without."""
    await checked_by(work, ["/no/such/program"]).run()

    found = work.bay.present().record_check
    assert (found.state, found.why) == (RecordState.NOT_CHECKED, "FileNotFoundError")


async def test_it_ends_when_the_bay_does(work: Work) -> None:
    """However long it would still take; and nothing of it is told any more."""
    check = checked_by(work, saying(as_line(HALF), then="import time; time.sleep(600)"))
    running = asyncio.create_task(check.run())
    while work.bay.present().record_check != HALF:
        await asyncio.wait([running], timeout=0.01)
    told = len(work.told)

    check.stop()
    await running
    await check.finish()

    assert len(work.told) == told
    assert work.bay.present().record_check == HALF


async def test_a_check_that_is_stopped_before_it_begins_never_does(work: Work) -> None:
    """A bay may be laid down in its first second."""
    check = checked_by(work, ["/no/such/program"])
    check.stop()

    await check.run()

    assert work.bay.present().record_check.state is RecordState.CHECKING


async def test_on_a_broken_record_nobody_is_started_and_what_runs_goes_on(work: Work) -> None:
    """As when nothing can be saved: refused at the label, never at the read."""
    await work.to_well("C1", "P-001")
    await checked_by(work, saying(as_line(BROKEN))).run()

    refused = await work.refused(work.label("C2", "P-002"))
    work.clock.advance("16:00")
    read = await work.enter(work.read("C1"))

    assert refused is RefusalCode.RECORD_BROKEN
    assert read.accepted


async def test_while_it_is_checked_people_are_started(work: Work) -> None:
    """Nothing is known against it."""
    checked_by(work, [])

    await work.must(work.label("C1", "P-001"))
