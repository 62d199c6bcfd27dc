"""A slip is mended by its reader until somebody has heard it; then a supervisor amends it."""

from __future__ import annotations

from dataclasses import replace

import pytest

from builders import CLEAR, FAINT, NEGATIVE, START, Bench, at
from readbell.core.board.correcting import refuse_correction
from readbell.core.board.sending import Sent
from readbell.core.cartridge.acts import CorrectReading
from readbell.core.cartridge.events import SlipReason
from readbell.core.exports.events import ExportedResult
from readbell.core.policy.sending import ReportFormat
from readbell.core.refusal import RefusalCode
from readbell.core.results.status import ResultStatus
from readbell.core.results.telling import Channel, Hearer, TellResult

TELL = TellResult(
    by="op-1",
    cartridge="C1",
    to=Hearer.PERSON,
    how=Channel.SPOKEN,
    since=START,
    person="P-001",
)


def mend(made: Bench) -> CorrectReading:
    """The correction of a slip."""
    return CorrectReading(aim=made.aim(), bands=NEGATIVE, reason=SlipReason.PRESSED_WRONG_KEY)


def read(*, early: bool = False) -> Bench:
    """A bench on which C1 was read."""
    made = Bench()
    made.to_well()
    if early:
        made.must(made.look_act(FAINT), "6:00")
        made.must(TELL, "7:00")
    made.must(made.read_act(CLEAR), "18:00")
    return made


def test_until_somebody_has_heard_it_a_slip_is_mended_by_its_reader() -> None:
    """The window is open, and the result is nobody's yet."""
    made = read()
    assert refuse_correction(made.board, made.cartridge()) is None
    made.must(mend(made), "18:10")


def test_once_it_was_told_only_a_supervisor_amends_it() -> None:
    """Whoever heard it would never learn of a silent correction."""
    made = read()
    made.must(TELL, "18:05")
    refused = made.refused(mend(made), "18:10")
    assert (refused.code, refused.subject) == (RefusalCode.ALREADY_READ, "C1")


def test_once_it_was_sent_only_a_supervisor_amends_it() -> None:
    """So too with a system that results are sent to."""
    made = read()
    sent = Sent(
        format=ReportFormat.FHIR,
        result=ExportedResult(cartridge="id-C1", version=1, status=ResultStatus.FINAL),
        at=at("18:05"),
    )
    made.board = replace(made.board, sent={"id-C1": (sent,)})
    assert made.refused(mend(made), "18:10").code is RefusalCode.ALREADY_READ


def test_what_was_told_of_an_early_look_leaves_the_reading_its_readers() -> None:
    """It was about something else."""
    made = read(early=True)
    made.must(mend(made), "18:10")


@pytest.mark.parametrize("on_well", [False, True])
def test_of_what_nobody_has_read_other_rules_speak(on_well: bool) -> None:
    """There is nothing to mend."""
    made = Bench()
    if on_well:
        made.to_well()
    else:
        made.label()
    assert refuse_correction(made.board, made.cartridge()) is None


def test_a_word_at_the_very_instant_of_the_reading_was_about_it() -> None:
    """To the millisecond: of two acts at one instant nobody can say that the word came before."""
    made = read()
    made.must(TELL, "18:00")
    assert made.refused(mend(made), "18:10").code is RefusalCode.ALREADY_READ
