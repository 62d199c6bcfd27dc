"""The story of one cartridge from the board alone: each thing once, in its order, by whom."""

from __future__ import annotations

from dataclasses import replace
from datetime import UTC

from builders import CLEAR, FAINT, NEGATIVE, Bench, at, private
from readbell.core.board.sending import Sent
from readbell.core.cartridge.acts import CorrectReading, TakeBackStep
from readbell.core.cartridge.events import SlipReason, TakeBackReason
from readbell.core.cartridge.stage import Stage
from readbell.core.exports.events import ExportedResult
from readbell.core.policy.sending import ReportFormat
from readbell.core.results.status import ResultStatus
from readbell.core.review.acts import WithdrawResult
from readbell.core.review.reasons import WithdrawReason
from readbell.phrases.cartridge_story import BLIND, MORE, story_of
from readbell.phrases.clock_time import ClockFace

FACE = ClockFace(zone=UTC)


def story(bench: Bench) -> str:
    """Return the story of C1."""
    return "\n".join(story_of(bench.cartridge(), bench.board, FACE))


def test_every_step_look_and_reading_stands_in_its_order() -> None:
    """With what was seen, what it meant, and what a supervisor made of it."""
    bench = Bench()
    bench.to_well()
    bench.must(bench.look_act(FAINT), "6:00")
    bench.must(bench.read_act(CLEAR), "18:00")
    slip = CorrectReading(aim=bench.aim(), bands=FAINT, reason=SlipReason.PRESSED_WRONG_KEY)
    bench.must(slip, "18:30")
    taken_back = WithdrawResult(
        by="op-2", cartridge="C1", reason=WithdrawReason.PROCEDURE, words=private("too warm")
    )
    bench.must(taken_back, "19:00")

    said = story(bench)

    in_order = (
        "labelled for P-001",
        "Buffer into the tube: done",
        "Drops onto the well: done",
        "early look: + POSITIVE",
        "read: + POSITIVE",
        "corrected by its reader",
        "WITHDRAWN",
        "In words: too warm.",
        MORE,
    )
    places = [said.index(each) for each in in_order]
    assert places == sorted(places)
    assert said.count("[op-1]") == 9
    assert "Seen: control line present, SARS-CoV-2 antigen clear." in said


def test_what_was_stated_says_so_and_what_strayed_is_told() -> None:
    """Nobody takes a guess for a time."""
    bench = Bench()
    bench.label()
    for step in ("buffer", "collect", "extract"):
        bench.step(step, "0:00")
    bench.must(bench.step_act("withdraw", done_at="6:00", doubt="0:20"), "8:00")
    said = story(bench)
    assert "Stated, not timed: 00:59:00 to 00:59:40." in said
    assert "Deviation: in buffer" in said


def test_a_step_taken_back_is_told_as_it_was_confirmed_as_it_was_taken_back_and_as_it_was_done() -> (
    None
):
    """Nothing is edited: the slip, that it was mended, and the true step all stand."""
    bench = Bench()
    bench.label()
    for step in ("buffer", "collect", "extract"):
        bench.step(step, "0:00")
    bench.step("withdraw", "6:00")
    act = TakeBackStep(aim=bench.aim(by="op-2"), step="withdraw", reason=TakeBackReason.NOT_DONE)
    bench.must(act, "6:10")
    before = story(bench)
    bench.step("withdraw", "7:00")
    said = story(bench)

    in_order = (
        "00:59:20+00:00  C1  Squeeze and withdraw the swab: done.  [op-1]",
        (
            "00:59:30+00:00  C1  Squeeze and withdraw the swab, confirmed 00:59:20: taken back, "
            "not done after all. Confirm it once it is done.  [op-2]"
        ),
        "01:00:20+00:00  C1  Squeeze and withdraw the swab: done.  [op-1]",
        "Deviation: in buffer 7:00, longer than 3:00.",
        "Deviation: in buffer 6:00, longer than 3:00; it was taken back with its step.",
    )
    places = [said.index(each) for each in in_order]
    assert places == sorted(places)
    assert in_order[-1] in before
    assert in_order[-2] not in before


def test_a_window_that_closed_unread_is_told() -> None:
    """By the clock, not by whoever noticed it."""
    bench = Bench()
    bench.to_well()
    lapsed = replace(bench.cartridge(), stage=Stage.LAPSED)
    said = "\n".join(story_of(lapsed, bench.board, FACE))
    assert "C1  the window closed, and it was not read." in said


def test_before_the_second_reading_nothing_of_the_first_is_shown() -> None:
    """Whoever reads second must not know."""
    bench = Bench()
    bench.to_well()
    bench.must(bench.read_act(NEGATIVE), "18:00")
    waiting = replace(bench.cartridge(), stage=Stage.SECOND_READING_DUE)
    said = "\n".join(story_of(waiting, bench.board, FACE))
    assert BLIND in said
    assert "NEGATIVE" not in said
    assert "Seen:" not in said


def test_what_left_the_bay_and_what_is_erased_are_told() -> None:
    """An erased name is said to be one."""
    bench = Bench()
    bench.to_well()
    bench.must(bench.read_act(NEGATIVE), "18:00")
    left = Sent(
        format=ReportFormat.CSV,
        result=ExportedResult(cartridge="id-C1", version=1, status=ResultStatus.FINAL),
        at=at("20:00"),
    )
    names = dict.fromkeys(bench.board.names)
    board = replace(bench.board, sent={"id-C1": (left,)}, names=names)
    said = "\n".join(story_of(bench.cartridge(), board, FACE))
    assert "C1  exported as csv." in said
    assert "labelled for erased from lot L-100." in said
    assert "[erased]" in said
