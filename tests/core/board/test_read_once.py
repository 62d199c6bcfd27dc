"""Read once, by the first of two readers: nothing has come of the strip, and it lapses as if unread."""

from __future__ import annotations

from dataclasses import replace

from builders import FAINT, NASAL, NEGATIVE, NO_CONTROL, at, private, span
from core.board.review_acts import amend
from core.board.second_reader_bench import CLOSED, due, ready, third
from readbell.core.assay.reading_rules import SecondReader
from readbell.core.board.fold import fold
from readbell.core.board.review import NOT_READ_YET, awaiting_review
from readbell.core.board.second_reader import read_twice
from readbell.core.board.sound import CallKind, call_at, may_call
from readbell.core.cartridge.acts import CorrectReading, StateApplication
from readbell.core.cartridge.at_instant import stage_at
from readbell.core.cartridge.countdown import Countdown, Towards, countdown
from readbell.core.cartridge.due import alerts_to_come
from readbell.core.cartridge.events import (
    AlertKind,
    AlertRaised,
    ApplicationStated,
    CartridgeVoided,
    SlipReason,
)
from readbell.core.cartridge.fold import doubt
from readbell.core.cartridge.looks import as_at
from readbell.core.cartridge.stage import Stage
from readbell.core.reading.interpretation import Outcome
from readbell.core.refusal import Refusal, RefusalCode
from readbell.core.results.status import ResultStatus
from readbell.core.review.acts import ReleaseReading, WithdrawResult
from readbell.core.review.events import ReadingHeld
from readbell.core.review.reasons import HoldReason, WithdrawReason


def test_after_the_first_reading_it_stands_as_one_that_has_still_to_be_read() -> None:
    """Nothing has come of it, and nothing shows what was seen."""
    made = due()
    cartridge = made.cartridge()

    assert cartridge.stage is Stage.SECOND_READING_DUE
    assert not cartridge.has_ended
    assert cartridge.id in made.board.running
    assert (cartridge.outcome, cartridge.outcomes) == (None, ())
    assert stage_at(cartridge, at("18:00")) is Stage.READ_WINDOW
    assert stage_at(cartridge, at("20:30")) is Stage.CLOSING
    assert stage_at(cartridge, at(CLOSED)) is Stage.LAPSED
    found = made.result()
    assert (found.status, found.outcome, found.version) == (ResultStatus.SECOND_DUE, None, 0)
    assert found.analytes[0].outcome is None


def test_its_countdown_and_its_alerts_go_on_and_it_calls_anew() -> None:
    """For somebody else; the first reader's hearing it counts for nothing."""
    made = ready()
    raised = AlertRaised(
        at=at("17:30"), cartridge="id-C1", alert=AlertKind.READ_NOW, due=at("17:30"), step=""
    )
    made.board = fold(made.board, raised)
    assert call_at(made.cartridge(), at("18:00")) is not None
    made.must(made.read_act(FAINT), "18:00")
    cartridge = made.cartridge()

    assert countdown(cartridge, at("18:00")) == Countdown(towards=Towards.CLOSES, due=at("22:30"))
    coming = [(each.kind, each.due) for each in alerts_to_come(cartridge)]
    assert (AlertKind.READ_NOW, at("18:00")) in coming
    assert {kind for kind, _ in coming} >= {AlertKind.CLOSING, AlertKind.LAPSED}
    assert not may_call(made.board)
    again = replace(raised, at=at("18:00"), due=at("18:00"))
    made.board = fold(made.board, again)
    assert may_call(made.board)
    call = call_at(made.cartridge(), at("18:00"))
    assert call is not None
    assert (call.kind, call.begins) == (CallKind.READ_NOW, at("18:00"))


def test_unread_by_a_second_one_at_the_close_it_is_withheld_and_waits_for_a_supervisor() -> None:
    """One look is not what was asked for; nothing of it is thrown away either."""
    made = due(FAINT)
    assert as_at(made.cartridge(), at("22:30")) is made.cartridge()
    assert as_at(made.cartridge(), at(CLOSED)).outcome is Outcome.WITHHELD
    made.lapse()
    cartridge = made.cartridge()

    assert (cartridge.stage, cartridge.outcome) == (Stage.LAPSED, Outcome.WITHHELD)
    assert cartridge.held == (HoldReason.NOT_READ_TWICE,)
    assert awaiting_review(made.board) == (cartridge,)
    found = made.result()
    assert (found.status, found.lapsed, found.version) == (ResultStatus.WITHHELD, False, 0)
    made.must(amend(FAINT), "60:00")
    assert (made.cartridge().stage, made.cartridge().outcome) == (Stage.LAPSED, Outcome.POSITIVE)
    assert made.result().status is ResultStatus.AMENDED


def test_the_first_reader_mends_a_slip_before_the_second_has_read_and_not_after() -> None:
    """The mended reading is what the second one is held against."""
    made = due(FAINT)
    slip = CorrectReading(aim=made.aim(), bands=NEGATIVE, reason=SlipReason.PRESSED_WRONG_KEY)
    made.must(slip, "18:10")
    assert made.cartridge().awaits_second
    assert made.cartridge().outcome is None
    assert made.result().status is ResultStatus.SECOND_DUE
    other = replace(slip, aim=made.aim(by="op-2"))
    assert made.refused(other, "18:20").code is RefusalCode.NOT_ALLOWED
    made.must(made.read_act(NEGATIVE, by="op-2"), "19:00")
    assert made.cartridge().outcome is Outcome.NEGATIVE
    late = replace(slip, bands=FAINT)
    assert made.refused(late, "19:10").code is RefusalCode.ALREADY_READ


def test_what_was_read_once_is_never_void_and_never_released_or_amended_yet() -> None:
    """What was seen stays; what it comes to is open."""
    made = due()
    third(made)
    assert made.refused(made.void_act(), "19:00").code is RefusalCode.ALREADY_READ
    made.board = fold(
        made.board,
        ReadingHeld(at=at("19:00"), by=None, cartridge="id-C1", reasons=(HoldReason.TEMPERATURE,)),
    )
    release = ReleaseReading(by="op-3", cartridge="C1", words=private("fine"))
    assert made.refused(release, "19:10").subject == NOT_READ_YET
    assert made.refused(amend(FAINT, by="op-3"), "19:10").subject == NOT_READ_YET
    assert not awaiting_review(made.board)


def test_a_refused_void_tells_a_second_reader_nothing_of_what_was_seen_early() -> None:
    """Nor that anything was: they are to say what they see themselves."""
    made = ready()
    made.must(made.look_act(FAINT), "6:00")
    assert made.refused(made.void_act(), "7:00").subject == "early positive"
    made.must(made.read_act(FAINT), "18:00")

    already = Refusal(code=RefusalCode.ALREADY_READ, subject="C1")
    assert made.refused(made.void_act(), "19:00") == already


def test_a_supervisor_may_take_it_back_between_the_two_readings() -> None:
    """Then nobody reads it any more."""
    made = due()
    reason = WithdrawReason.PROCEDURE
    act = WithdrawResult(by="op-2", cartridge="C1", reason=reason, words=private("spilled"))
    made.must(act, "19:00")
    assert made.cartridge().stage is Stage.VOID
    assert made.refused(made.read_act(FAINT, by="op-2"), "19:10").code is RefusalCode.ALREADY_ENDED
    assert made.result().status is ResultStatus.WITHDRAWN


def test_no_statement_of_the_drops_makes_what_was_read_once_void() -> None:
    """After a restart nobody can be sure of, it is stated, or lapses withheld."""
    made = due()
    made.board = replace(made.board, running={"id-C1": doubt(made.cartridge(), at("18:30"))})
    assert made.refused(made.read_act(FAINT, by="op-2"), "19:00").subject == "unsure"
    act = StateApplication(
        aim=made.aim(), witness="op-2", done_at=at("2:30"), give_or_take=span("10:00")
    )
    events = made.must(act, "19:00")
    assert [type(each) for each in events] == [ApplicationStated]
    assert not any(isinstance(each, CartridgeVoided) for each in events)
    assert made.cartridge().awaits_second


def test_drops_stated_anew_give_no_early_look_between_two_readings() -> None:
    """The window may be still to come then; no record could hold such a look."""
    made = due()
    made.board = replace(made.board, running={"id-C1": doubt(made.cartridge(), at("18:30"))})
    made.must(
        StateApplication(
            aim=made.aim(), witness="op-2", done_at=at("10:00"), give_or_take=span("0:00")
        ),
        "19:00",
    )
    assert made.cartridge().awaits_second
    refusal = made.refused(made.look_act(FAINT, by="op-2"), "19:00")
    assert (refusal.code, refusal.due) == (RefusalCode.NOT_ALLOWED, at("25:00"))
    kinds = {each.kind for each in alerts_to_come(made.cartridge())}
    assert kinds == {AlertKind.READ_NOW, AlertKind.CLOSING, AlertKind.LAPSED}


def test_the_first_of_two_readings_is_no_invalid_of_its_lot_yet() -> None:
    """Only what both came to is counted."""
    made = due(NO_CONTROL, SecondReader.ALL)
    assert not made.board.samples.record("L-100").invalids
    made.must(made.read_act(NO_CONTROL, by="op-2"), "19:00")
    assert made.cartridge().outcome is Outcome.INVALID
    assert made.board.samples.record("L-100").invalids


def test_no_start_is_guaranteed_where_a_strip_may_be_read_twice() -> None:
    """The answer says so by name; what awaits a second reader is counted as still to be read."""
    from readbell.core.plan.answer import Crew, Rule, answer
    from readbell.core.plan.conditions import Condition

    made = due()
    running = tuple(made.board.running.values())
    assays = {key: each.assay for key, each in made.board.assays.items()}
    once = answer(running, assays, NASAL, Crew(), at("18:00"))
    (task,) = once.bench.tasks
    assert (task.is_reading, task.person) == (True, "key-P-001")
    crew = Crew(read_twice=read_twice(made.board))
    found = answer(running, assays, NASAL, crew, at("18:00"))
    assert found.rule is Rule.ADVICE
    assert Condition.READ_ONCE in {each.condition for each in found.broken}
