"""Giving a cartridge up, and saying with a witness when an unsure one had its drops."""

from __future__ import annotations

from dataclasses import replace

import pytest

from builders import CLEAR, FAINT, NEGATIVE, Bench, at, private, span
from readbell.core.board.events import ClockUnsure
from readbell.core.board.fold import fold
from readbell.core.cartridge.acts import StateApplication
from readbell.core.cartridge.events import (
    ApplicationStated,
    CartridgeVoided,
    How,
    Identified,
    VoidReason,
)
from readbell.core.cartridge.looks import lapse
from readbell.core.cartridge.stage import Stage
from readbell.core.reading.interpretation import Outcome
from readbell.core.refusal import RefusalCode


def unsure(*, early: bool = False) -> Bench:
    """A bench whose cartridge C1, with drops at 2:30, has a clock in doubt since 6:00."""
    bench = Bench()
    found = bench.to_well(applied="2:30")
    if early:
        bench.must(bench.look_act(FAINT), "5:00")
    bench.board = fold(bench.board, ClockUnsure(at=at("6:00"), cartridges=(found.id,)))
    return bench


def statement(bench: Bench, done_at: str, **changed: str) -> StateApplication:
    """What op-1 says, with op-2 for a witness unless said otherwise."""
    return StateApplication(
        aim=bench.aim(),
        witness=changed.get("witness", "op-2"),
        done_at=at(done_at),
        give_or_take=span(changed.get("doubt", "0:30")),
    )


@pytest.mark.parametrize("steps", range(5))
def test_a_cartridge_can_be_given_up_at_any_step(steps: int) -> None:
    """Plastic is dropped at every stage; the reason and the words are kept."""
    bench = Bench()
    bench.label()
    for step, now in (
        ("buffer", "0:00"),
        ("collect", "0:00"),
        ("extract", "0:00"),
        ("withdraw", "1:00"),
    )[:steps]:
        bench.step(step, now)
    words = private("fell off the tray")
    (event,) = bench.must(replace(bench.void_act(), words=words), "2:00")

    assert isinstance(event, CartridgeVoided)
    assert (event.reason, event.words) == (VoidReason.DROPPED, words)
    assert (bench.cartridge().stage, bench.cartridge().outcome) == (Stage.VOID, None)


def test_a_void_inside_the_window_is_taken() -> None:
    """Nothing valid was seen yet, so nothing can be hidden by it."""
    bench = Bench()
    bench.to_well()
    bench.must(bench.void_act(), "17:30")

    assert bench.cartridge().stage is Stage.VOID


@pytest.mark.parametrize("now", ["5:00", "17:30", "22:30"])
def test_an_early_positive_cannot_be_made_void(now: str) -> None:
    """What was seen stays: a void would be a way to make a positive disappear."""
    bench = Bench()
    bench.to_well()
    bench.must(bench.look_act(FAINT), "5:00")

    assert bench.refused(bench.void_act(), now).code is RefusalCode.NOT_ALLOWED


@pytest.mark.parametrize(
    ("end", "codes"),
    [
        pytest.param("read", ["already-read"] * 5, id="read"),
        pytest.param(
            "lapsed",
            ["already-ended", "window-closed", "window-closed", "already-ended", "already-ended"],
            id="lapsed on the record",
        ),
        pytest.param(
            "closed",
            ["already-ended", "window-closed", "window-closed", "already-ended", "already-ended"],
            id="lapsed by time alone",
        ),
        pytest.param("void", ["already-ended"] * 5, id="void"),
    ],
)
def test_nothing_more_is_done_to_an_ended_cartridge(end: str, codes: list[str]) -> None:
    """Each end has its own words, for step, look, read, void and statement."""
    bench = Bench()
    found = bench.to_well()
    if end == "read":
        bench.must(bench.read_act(NEGATIVE), "17:30")
    elif end == "void":
        bench.must(bench.void_act(), "17:30")
    elif end == "lapsed":
        bench.board = fold(bench.board, lapse(found, at("22:30.001")))
    acts = (
        bench.step_act("apply"),
        bench.look_act(CLEAR),
        bench.read_act(CLEAR),
        bench.void_act(),
        statement(bench, "2:30"),
    )

    assert [bench.refused(act, "22:30.001").code for act in acts] == codes


def test_a_statement_mends_an_unsure_cartridge() -> None:
    """Operator and witness read the time off the plastic; the window counts from there."""
    bench = unsure()
    (event,) = bench.must(statement(bench, "3:00"), "7:00")

    assert isinstance(event, ApplicationStated)
    assert (event.by, event.witness) == ("key-op-1", "key-op-2")
    assert event.done.stated
    assert bench.refused(bench.read_act(NEGATIVE), "18:29.999").code is RefusalCode.TOO_EARLY
    bench.must(bench.read_act(NEGATIVE), "18:30")


def test_a_statement_is_not_bound_by_the_clock_in_doubt() -> None:
    """The steps before were timed by that very clock, so the drops may lie before them."""
    bench = unsure()
    bench.must(statement(bench, "0:20", doubt="0:30"), "7:00")
    applied = bench.cartridge().applied

    assert applied is not None
    assert applied.earliest == at("0:20") - span("0:30")


@pytest.mark.parametrize(
    ("changed", "code", "subject"),
    [
        pytest.param({"witness": "op-1"}, "not-allowed", "witness", id="his own witness"),
        pytest.param({"witness": "nobody"}, "unknown-operator", "nobody", id="a stranger"),
        pytest.param({"done_at": "7:00.001"}, "not-allowed", "statement", id="in the future"),
    ],
)
def test_a_statement_needs_a_second_person_and_a_past(
    changed: dict[str, str], code: str, subject: str
) -> None:
    """One pair of eyes could be the one that made the mistake."""
    bench = unsure()
    act = statement(bench, **{"done_at": "3:00", **changed})
    refusal = bench.refused(act, "7:00")

    assert (refusal.code, refusal.subject) == (code, subject)


def test_a_statement_at_this_very_instant_is_taken() -> None:
    """The border belongs to the past."""
    bench = unsure()
    bench.must(statement(bench, "7:00", doubt="0:00"), "7:00")

    assert not bench.cartridge().unsure


def test_a_sure_cartridge_takes_no_statement() -> None:
    """What the clock timed is not talked over."""
    bench = Bench()
    bench.to_well()

    assert bench.refused(statement(bench, "3:00"), "7:00").subject == "sure"


def test_without_drops_there_is_nothing_to_state() -> None:
    """A clock in doubt before the drops leaves an ordinary step to be done."""
    bench = Bench()
    found = bench.label()
    bench.board = fold(bench.board, ClockUnsure(at=at("1:00"), cartridges=(found.id,)))

    assert bench.refused(statement(bench, "0:30"), "7:00").code is RefusalCode.NOT_ALLOWED


def test_a_statement_that_leaves_no_window_makes_the_cartridge_void() -> None:
    """Two people who cannot say within five minutes leave nothing to read by."""
    bench = unsure()
    stated, voided = bench.must(statement(bench, "3:00", doubt="2:30.001"), "7:00")

    assert isinstance(stated, ApplicationStated)
    assert isinstance(voided, CartridgeVoided)
    assert voided.reason is VoidReason.TIME_UNSURE
    assert bench.cartridge().stage is Stage.VOID


def test_a_statement_never_makes_an_early_positive_void() -> None:
    """What was seen in time stays, whatever is said later about the clock."""
    bench = unsure(early=True)
    bench.do(statement(bench, "3:00", doubt="2:30.001"), "7:00")
    found = bench.cartridge()
    if not found.has_ended:
        found = fold(bench.board, lapse(found, at("22:30.001"))).ended[found.id]

    assert found.stage is not Stage.VOID
    assert found.outcome is Outcome.POSITIVE


def test_an_unsure_cartridge_that_nobody_states_lapses() -> None:
    """A window that may have closed counts as closed; an early positive seen before stands."""
    for early, outcome in ((False, Outcome.INVALID), (True, Outcome.POSITIVE)):
        bench = unsure(early=early)
        event = lapse(bench.cartridge(), at("22:30.001"))
        bench.board = fold(bench.board, event)

        assert bench.cartridge().outcome is outcome


SURE = Identified(cartridge=How.SCANNED, person=How.TYPED)


def test_a_void_says_who_gave_up_when_and_how_sure_it_was_the_right_one() -> None:
    """The wrong cartridge given up is found afterwards by this line alone."""
    bench = Bench()
    bench.label()
    act = bench.void_act()
    sure = replace(act.aim, cartridge_by=How.SCANNED, person_by=How.TYPED)
    (event,) = bench.must(replace(act, aim=sure), "0:40")

    assert isinstance(event, CartridgeVoided)
    assert (event.at, event.by, event.identified) == (at("0:40"), "key-op-1", SURE)


def test_a_refused_void_says_that_a_positive_was_seen() -> None:
    """Otherwise it looks like a fault of the program."""
    bench = Bench()
    bench.to_well()
    bench.must(bench.look_act(FAINT), "5:00")

    assert bench.refused(bench.void_act(), "6:00").subject == "early positive"


def test_a_statement_is_recorded_at_the_instant_it_was_made() -> None:
    """Not at the instant of which it speaks."""
    bench = unsure()
    (event,) = bench.must(statement(bench, "3:00"), "7:00")

    assert event.at == at("7:00")


def test_a_statement_of_the_future_is_told_when_it_could_be_made() -> None:
    """A slip of one digit is seen at once beside the instant that was entered."""
    bench = unsure()

    assert bench.refused(statement(bench, "8:00"), "7:00").due == at("8:00")


def test_a_void_that_follows_from_a_statement_says_who_made_it_and_when() -> None:
    """Nobody pressed void: the record must show out of whose words it came."""
    bench = unsure()
    act = statement(bench, "3:00", doubt="2:30.001")
    sure = replace(act.aim, cartridge_by=How.SCANNED, person_by=How.TYPED)
    _, event = bench.must(replace(act, aim=sure), "7:00")

    assert isinstance(event, CartridgeVoided)
    assert (event.at, event.by, event.identified) == (at("7:00"), "key-op-1", SURE)
