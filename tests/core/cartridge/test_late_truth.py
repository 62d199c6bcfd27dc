"""A forgotten press is entered after the fact, with its doubt, and judged by the safe end of it."""

from __future__ import annotations

from dataclasses import replace

import pytest

from builders import FAINT, NEGATIVE, Bench, at, span
from readbell.core.cartridge.acts import DoStep
from readbell.core.cartridge.at_instant import stage_at, window
from readbell.core.cartridge.events import CartridgeVoided, StepDone, VoidReason
from readbell.core.cartridge.stage import Stage
from readbell.core.refusal import RefusalCode


def in_buffer(bench: Bench | None = None) -> Bench:
    """A bench whose cartridge C1 had its swab put into the buffer at 0:00."""
    bench = bench or Bench()
    bench.label()
    for step in ("buffer", "collect", "extract"):
        bench.step(step, "0:00")
    return bench


def before_the_drops() -> Bench:
    """A bench whose cartridge C1 only wants its drops since 1:00."""
    bench = in_buffer()
    bench.step("withdraw", "1:00")
    return bench


def test_a_stated_step_says_when_it_was_recorded_and_when_it_was_done() -> None:
    """Both instants stand in the record, and the mark that it was stated, not timed."""
    bench = before_the_drops()
    (event,) = bench.must(bench.step_act("apply", done_at="2:00", doubt="0:15"), "6:00")

    assert isinstance(event, StepDone)
    assert event.at == at("6:00")
    assert (event.done.said, event.done.earliest, event.done.latest) == (
        at("2:00"),
        at("1:45"),
        at("2:15"),
    )
    assert event.done.stated


@pytest.mark.parametrize(
    ("done_at", "code"),
    [
        pytest.param("1:00", None, id="at the instant of the last known act"),
        pytest.param("0:59.999", RefusalCode.OUT_OF_ORDER, id="before the last known act"),
        pytest.param("6:00", None, id="this very instant"),
        pytest.param("6:00.001", RefusalCode.NOT_ALLOWED, id="in the future"),
    ],
)
def test_a_stated_step_lies_between_the_last_known_act_and_now(
    done_at: str, code: RefusalCode | None
) -> None:
    """Nobody can have put drops on the well before the swab was out, or from tomorrow."""
    bench = before_the_drops()
    act = bench.step_act("apply", done_at=done_at)

    if code is None:
        bench.must(act, "6:00")
    else:
        assert bench.refused(act, "6:00").code is code


def test_order_is_told_before_the_wait_and_the_wait_before_the_future() -> None:
    """Of several reasons the same one is always given."""
    bench = in_buffer()
    out_of_turn = bench.step_act("apply", done_at="9:00")
    too_short = bench.step_act("withdraw", done_at="0:30", doubt="0:00")
    short_and_future = bench.step_act("withdraw", done_at="0:40")
    future = bench.step_act("withdraw", done_at="2:00")

    assert bench.refused(out_of_turn, "0:20").code is RefusalCode.OUT_OF_ORDER
    assert bench.refused(too_short, "5:00").code is RefusalCode.WAIT_NOT_OVER
    assert bench.refused(short_and_future, "0:20").code is RefusalCode.WAIT_NOT_OVER
    assert bench.refused(future, "0:20").code is RefusalCode.NOT_ALLOWED


@pytest.mark.parametrize(
    ("doubt", "refused"),
    [
        pytest.param("0:10", False, id="long enough at any rate"),
        pytest.param("0:10.001", True, id="may have been a millisecond short"),
    ],
)
def test_a_wait_that_may_have_been_short_counts_as_short(doubt: str, refused: bool) -> None:
    """Withdrawn at 1:10 or so: only if the earliest instant keeps the minute is it taken."""
    bench = in_buffer()
    act = bench.step_act("withdraw", done_at="1:10", doubt=doubt)

    if refused:
        assert bench.refused(act, "5:00").code is RefusalCode.WAIT_NOT_OVER
    else:
        bench.must(act, "5:00")


@pytest.mark.parametrize(
    ("doubt", "expected"),
    [
        pytest.param("0:10", [], id="in time at any rate"),
        pytest.param("0:10.001", [("extract-long", 180_001)], id="may have been too long"),
    ],
)
def test_a_wait_that_may_have_been_long_counts_as_long(
    doubt: str, expected: list[tuple[str, int]]
) -> None:
    """The deviation names the longest it may have been, the figure that was judged."""
    bench = in_buffer()
    bench.must(bench.step_act("withdraw", done_at="2:50", doubt=doubt), "5:00")

    assert [(each.code, each.span) for each in bench.cartridge().deviations] == expected


def test_doubt_about_the_beginning_of_a_wait_counts_too() -> None:
    """Swab in the buffer between 1:20 and 1:40: a minute is sure only from 2:40 on."""
    bench = Bench()
    bench.label()
    for step in ("buffer", "collect"):
        bench.step(step, "0:00")
    bench.must(bench.step_act("extract", done_at="1:30", doubt="0:10"), "2:00")

    refusal = bench.refused(bench.step_act("withdraw"), "2:39.999")
    assert (refusal.code, refusal.due) == (RefusalCode.WAIT_NOT_OVER, at("2:40"))
    bench.step("withdraw", "2:40")


@pytest.mark.parametrize(
    ("now", "expected"),
    [
        pytest.param("3:50", [], id="in time at any rate"),
        pytest.param("3:50.001", [("extract-long", 180_001)], id="may have been too long"),
    ],
)
def test_doubt_about_the_beginning_may_make_a_wait_long(
    now: str, expected: list[tuple[str, int]]
) -> None:
    """Swab in the buffer between 0:50 and 1:10: three minutes may be over from 3:50 on."""
    bench = Bench()
    bench.label()
    for step in ("buffer", "collect"):
        bench.step(step, "0:00")
    bench.must(bench.step_act("extract", done_at="1:00", doubt="0:10"), "2:00")
    bench.step("withdraw", now)

    assert [(each.code, each.span) for each in bench.cartridge().deviations] == expected


def test_a_statement_after_a_statement_is_bound_by_the_best_guess() -> None:
    """It may not say an instant before the one that was said, and its doubt may reach as far."""
    bench = Bench()
    bench.label()
    bench.must(bench.step_act("buffer", done_at="1:00", doubt="0:20"), "5:00")
    before = bench.refused(bench.step_act("collect", done_at="0:59.999"), "5:00")
    bench.must(bench.step_act("collect", done_at="1:00", doubt="3:00"), "5:00")

    assert (before.code, before.due) == (RefusalCode.OUT_OF_ORDER, at("1:00"))
    assert bench.cartridge().last_mark.done.earliest == at("0:40")


def test_a_stated_application_narrows_the_window() -> None:
    """Drops at 2:00 give or take 0:30: read from 17:30 until 21:30, both inside."""
    bench = before_the_drops()
    bench.must(bench.step_act("apply", done_at="2:00", doubt="0:30"), "6:00")
    early, late = bench.read_act(NEGATIVE), bench.read_act(NEGATIVE)

    assert bench.refused(early, "17:29.999").code is RefusalCode.TOO_EARLY
    assert bench.refused(late, "21:30.001").code is RefusalCode.WINDOW_CLOSED
    bench.must(early, "17:30")


def test_elapsed_time_is_told_from_the_best_guess() -> None:
    """The ends of the doubt judge; the figure people read is counted from what was said."""
    bench = before_the_drops()
    bench.must(bench.step_act("apply", done_at="2:00", doubt="0:30"), "3:00")

    for act in (bench.look_act(FAINT), bench.read_act(FAINT)):
        assert bench.refused(act, "4:00").elapsed == span("2:00")


def test_an_early_look_waits_for_the_latest_instant_the_drops_may_have_fallen() -> None:
    """Two minutes are sure only after the end of the doubt."""
    bench = before_the_drops()
    bench.must(bench.step_act("apply", done_at="2:00", doubt="0:30"), "3:00")

    assert bench.refused(bench.look_act(FAINT), "4:29.999").code is RefusalCode.TOO_EARLY
    bench.must(bench.look_act(FAINT), "4:30")


def test_a_window_with_nothing_left_makes_the_cartridge_void() -> None:
    """No instant is left at which anybody could read it and be right."""
    bench = in_buffer()
    bench.step("withdraw", "10:00")
    done, voided = bench.must(bench.step_act("apply", done_at="14:00", doubt="3:00"), "30:00")

    assert isinstance(done, StepDone)
    assert isinstance(voided, CartridgeVoided)
    assert voided.reason is VoidReason.TIME_UNSURE
    found = bench.cartridge()
    assert (found.stage, found.outcome) == (Stage.VOID, None)
    assert found.applied is not None
    assert found.applied.said == at("14:00")


def test_a_window_with_one_instant_left_is_kept() -> None:
    """Doubt of five minutes in all against a window of five minutes: exactly one instant."""
    bench = in_buffer()
    bench.step("withdraw", "10:00")
    bench.must(bench.step_act("apply", done_at="14:00", doubt="2:30"), "30:00")
    found = bench.cartridge()

    span = window(found)
    assert span is not None
    assert span.opens == span.closes == at("31:30")
    assert stage_at(found, at("31:30")) is Stage.CLOSING


def test_only_the_application_can_leave_no_window() -> None:
    """Doubt about an earlier step, however wide, voids nothing by itself."""
    bench = Bench()
    bench.label()
    bench.must(bench.step_act("buffer", done_at="15:00", doubt="15:00"), "40:00")

    assert bench.cartridge().stage is Stage.PREPARING


def test_without_a_stated_instant_a_doubt_means_nothing() -> None:
    """A press is timed by the clock, whatever was left standing in the field beside it."""
    bench = before_the_drops()
    act = bench.step_act("apply", doubt="4:00")
    assert isinstance(act, DoStep)
    bench.must(replace(act, done_at=None), "2:00")

    applied = bench.cartridge().applied
    assert applied is not None
    assert applied.earliest == applied.latest == at("2:00")
    assert not applied.stated
