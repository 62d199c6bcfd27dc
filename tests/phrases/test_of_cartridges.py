"""What happens to cartridges: the outcome in a word and a sign, and what follows from it."""

from __future__ import annotations

from datetime import UTC
from typing import TYPE_CHECKING

import pytest

from builders import CLEAR, NEGATIVE, NO_CONTROL, THREE_LINES, Bench, at, bands, span
from readbell.core.board.fold import fold
from readbell.core.cartridge.acts import CorrectReading, DoSteps, TakeBackStep
from readbell.core.cartridge.events import (
    AlertKind,
    AlertRaised,
    CartridgeRead,
    SlipReason,
    TakeBackReason,
)
from readbell.core.cartridge.looks import lapse
from readbell.core.climate.acts import NoteTemperature
from readbell.core.climate.events import Where
from readbell.core.instant import Instant
from readbell.phrases.clock_time import ClockFace
from readbell.phrases.of_cartridges import tell_of_cartridge

if TYPE_CHECKING:
    from readbell.core.board.acts import Act
    from readbell.core.cartridge.events import CartridgeEvent
    from readbell.core.reading.bands import Bands

FACE = ClockFace(zone=UTC, apart=span("6:40"))
"""Shows the start of the bench as 01:00:00."""


def told(bench: Bench, act: Act, now: str) -> str:
    """The words of the first event that an act brings about."""
    event: CartridgeEvent = bench.must(act, now)[0]  # type: ignore[assignment]
    return tell_of_cartridge(event, bench.board, FACE)


@pytest.fixture
def bench() -> Bench:
    """A bench on which C1 has its drops since 2:30."""
    found = Bench()
    found.to_well()
    return found


@pytest.mark.parametrize(
    ("seen", "words"),
    [
        pytest.param(CLEAR, "C1  read: + POSITIVE.", id="positive"),
        pytest.param(
            NEGATIVE,
            "C1  read: - NEGATIVE. A negative does not exclude infection.",
            id="negative",
        ),
        pytest.param(
            NO_CONTROL,
            "C1  read: x INVALID. Repeat with a fresh cartridge and a new specimen.",
            id="invalid",
        ),
    ],
)
def test_an_outcome_has_a_sign_a_word_and_what_it_means(
    bench: Bench, seen: Bands, words: str
) -> None:
    """No colour is needed, and nobody has to remember what follows."""
    assert told(bench, bench.read_act(seen), "18:00") == words


def test_a_withheld_outcome_says_why_and_who_is_to_know(bench: Bench) -> None:
    """Two looks disagree: neither may be told to anybody."""
    bench.must(bench.look_act(CLEAR), "6:00")
    words = told(bench, bench.read_act(NEGATIVE), "18:00")

    assert words == (
        "C1  read: ? WITHHELD. It contradicts the early look, so neither counts. "
        "Tell a supervisor and repeat."
    )


def test_an_early_positive_is_called_preliminary(bench: Bench) -> None:
    """The window reading is still owed."""
    words = told(bench, bench.look_act(CLEAR), "6:00")

    assert words == (
        "C1  early look: + POSITIVE for SARS-CoV-2 antigen. Preliminary: read it in its window too."
    )


def test_several_analytes_are_told_one_by_one() -> None:
    """One word for three lines would hide two of them."""
    bench = Bench(THREE_LINES)
    bench.to_well()
    seen = bands(influenza_a="faint", influenza_b="absent", sars_cov_2="absent")
    words = told(bench, bench.read_act(seen), "18:00")

    assert words.startswith(
        "C1  read: + POSITIVE (Influenza A antigen positive, Influenza B antigen negative, "
        "SARS-CoV-2 antigen negative)."
    )


def test_the_drops_tell_when_to_come_back(bench: Bench) -> None:
    """The two clock times that are also written on the plastic."""
    bench.label("C2", "P-002")
    for step in ("buffer", "collect", "extract"):
        bench.step(step, "0:00", "C2")
    bench.step("withdraw", "1:00", "C2")
    words = told(bench, bench.step_act("apply", "C2"), "2:30.500")

    assert words == "C2  Drops onto the well: done. Read it from 01:17:31 to 01:22:30."


def test_a_wait_tells_until_when() -> None:
    """Rounded up: whoever moves at the shown second is not refused."""
    bench = Bench()
    bench.label()
    for step in ("buffer", "collect"):
        bench.step(step, "0:00")
    words = told(bench, bench.step_act("extract"), "0:30.001")

    assert words == "C1  Swab into the buffer: done. Wait until 01:01:31."


def test_a_stated_step_is_called_stated_not_timed() -> None:
    """Wherever such a time is shown, it says what it is."""
    bench = Bench()
    bench.label()
    words = told(bench, bench.step_act("buffer", done_at="0:30", doubt="0:10"), "2:00")

    assert "Stated, not timed: 01:00:30." in words


def test_a_step_taken_back_is_told_with_when_it_was_confirmed_and_why_it_is_not_so(
    bench: Bench,
) -> None:
    """And what to do now: it is still to be done, or to be entered."""
    act = TakeBackStep(aim=bench.aim(), step="apply", reason=TakeBackReason.PRESSED_TOO_EARLY)

    assert told(bench, act, "3:00") == (
        "C1  Drops onto the well, confirmed 01:02:30: taken back, pressed too early. "
        "Confirm it once it is done."
    )


def test_several_steps_by_one_press_are_told_as_one_thing_that_was_taken_back() -> None:
    """One press was wrong."""
    bench = Bench()
    bench.label()
    steps = ("buffer", "collect", "extract")
    bench.must(DoSteps(aim=bench.aim(), steps=steps, new_specimen="s"), "0:10")
    act = TakeBackStep(aim=bench.aim(), step="extract", reason=TakeBackReason.ANOTHER_CARTRIDGE)

    assert told(bench, act, "0:20") == (
        "C1  Buffer into the tube, Take the swab, Swab into the buffer, confirmed 01:00:10: "
        "taken back, done on another cartridge. Confirm them once they are done."
    )


def test_a_lapse_is_told_as_unread(bench: Bench) -> None:
    """Invalid because nobody looked, not because of the strip."""
    words = tell_of_cartridge(lapse(bench.cartridge(), at("22:30.001")), bench.board, FACE)

    assert words == (
        "C1  the window closed unread: x INVALID. Repeat with a fresh cartridge and a new specimen."
    )


def test_a_lapse_after_an_early_positive_leaves_it_standing(bench: Bench) -> None:
    """What was validly seen is not lost with the window."""
    bench.must(bench.look_act(CLEAR), "6:00")
    words = tell_of_cartridge(lapse(bench.cartridge(), at("22:30.001")), bench.board, FACE)

    assert words == "C1  the window closed unread; the positive seen early stands."


@pytest.mark.parametrize(
    ("kind", "words"),
    [
        (
            AlertKind.EARLY_LOOK,
            "e  An early look may show a positive. A negative means nothing yet.",
        ),
        (AlertKind.READ_NOW, "!  READ NOW until 01:22:30."),
        (AlertKind.CLOSING, "!! CLOSING. Read it now. Closes 01:22:30."),
        (AlertKind.LAPSED, "x  LAPSED."),
    ],
)
def test_each_alert_has_a_sign_and_a_word(bench: Bench, kind: AlertKind, words: str) -> None:
    """Read aloud or seen without colour, no two are alike."""
    now = at("18:00")
    event = AlertRaised(at=now, cartridge="id-C1", alert=kind, due=now, step="")

    assert tell_of_cartridge(event, bench.board, FACE) == f"C1  {words}"


@pytest.mark.parametrize(
    ("late", "tail"),
    [
        pytest.param("0:00", "", id="in time"),
        pytest.param("0:01.999", "", id="less than two seconds"),
        pytest.param("0:02", " Late by 0:02: it was due 01:17:58.", id="two seconds"),
        pytest.param("10:00", " Late by 10:00: it was due 01:08:00.", id="ten minutes"),
    ],
)
def test_an_alert_that_comes_late_says_so(bench: Bench, late: str, tail: str) -> None:
    """Below two seconds nobody could have acted sooner; from there on it is told."""
    now = at("18:00")
    event = AlertRaised(
        at=now,
        cartridge="id-C1",
        alert=AlertKind.READ_NOW,
        due=Instant(now - span(late)),
        step="",
    )

    assert tell_of_cartridge(event, bench.board, FACE) == (f"C1  !  READ NOW until 01:22:30.{tail}")


def test_a_repeat_is_told_with_what_it_repeats(bench: Bench) -> None:
    """The first strip is not forgotten because a second is opened."""
    bench.must(bench.read_act(NO_CONTROL), "18:00")
    words = told(bench, bench.label_act("C2"), "19:00")

    assert words == "C2  labelled for P-001 from lot L-100, a repeat of C1."


def test_two_invalids_ask_for_control_samples(bench: Bench) -> None:
    """The third strip for one person is not the answer (common practice)."""
    bench.must(bench.read_act(NO_CONTROL), "18:00")
    bench.to_well("C2")
    bench.must(bench.read_act(NO_CONTROL, "C2"), "18:00")
    words = told(bench, bench.label_act("C3"), "19:00")

    assert words.endswith(
        "Two invalid already for this person: run control samples on the lot, "
        "then follow the local rules."
    )


def test_the_second_invalid_says_stop_when_it_is_read_not_when_a_third_is_begun(
    bench: Bench,
) -> None:
    """By the third label another pouch is open (common practice)."""
    first = told(bench, bench.read_act(NO_CONTROL), "18:00")
    bench.to_well("C2")
    second = told(bench, bench.read_act(NO_CONTROL, "C2"), "18:00")

    stop = "Second invalid for this person: stop. Run control samples on lot L-100"
    assert stop not in first
    assert stop in second


def test_a_window_that_lapsed_after_an_invalid_says_nothing_of_the_kit(bench: Bench) -> None:
    """Nobody saw whether it had run: who came too late for it runs no control samples for that."""
    bench.must(bench.read_act(NO_CONTROL), "18:00")
    bench.to_well("C2")
    bench.board = fold(bench.board, event := lapse(bench.cartridge("C2"), at("22:30.001")))

    words = tell_of_cartridge(event, bench.board, FACE)
    assert words.endswith("INVALID. Repeat with a fresh cartridge and a new specimen.")


def test_where_another_one_of_the_person_runs_or_has_a_result_no_repeat_is_called_for(
    bench: Bench,
) -> None:
    """The bench has it before it, and nobody swabs somebody for nothing."""
    spared = "No repeat is due: C1 of the same person runs or has a result."
    bench.to_well("C2")
    void = told(bench, bench.void_act("C2"), "5:00")
    assert void == f"C2  void: it was dropped. {spared}"
    bench.to_well("C3")
    invalid = told(bench, bench.read_act(NO_CONTROL, "C3"), "18:00")
    assert invalid == f"C3  read: x INVALID. {spared}"
    bench.must(bench.read_act(NEGATIVE), "18:10")
    bench.to_well("C4")
    bench.board = fold(bench.board, event := lapse(bench.cartridge("C4"), at("22:30.001")))
    words = tell_of_cartridge(event, bench.board, FACE)
    assert words == f"C4  the window closed unread: x INVALID. {spared}"


def correction(bench: Bench, seen: Bands, label: str = "C1") -> CorrectReading:
    """The act by which a reader mends a wrong key."""
    return CorrectReading(aim=bench.aim(label), bands=seen, reason=SlipReason.PRESSED_WRONG_KEY)


def test_a_correction_says_what_counts_now_and_that_the_first_entry_stays(bench: Bench) -> None:
    """Nobody wonders which of the two is on record: both are, and the last one counts."""
    bench.must(bench.read_act(CLEAR), "18:00")
    words = told(bench, correction(bench, NEGATIVE), "18:10")

    assert words == (
        "C1  corrected by its reader, a wrong key was pressed: - NEGATIVE. A negative does not "
        "exclude infection. The first entry stays on record."
    )


def test_a_correction_to_a_second_invalid_says_stop(bench: Bench) -> None:
    """It is the second invalid, however late it was pressed (common practice)."""
    bench.must(bench.read_act(NO_CONTROL), "18:00")
    bench.to_well("C2")
    bench.must(bench.read_act(NEGATIVE, "C2"), "18:00")
    words = told(bench, correction(bench, NO_CONTROL, "C2"), "18:10")

    assert "Second invalid for this person: stop." in words


def test_steps_confirmed_together_say_so(bench: Bench) -> None:
    """Their instant is shared, and whoever reads the log must know."""
    bench.label("C2", "P-002")
    act = DoSteps(aim=bench.aim("C2"), steps=("buffer", "collect"), new_specimen="specimen")

    assert told(bench, act, "1:00") == "C2  Buffer into the tube: done, together."


def test_a_reading_that_waited_for_review_long_before_says_so_once_more() -> None:
    """Whoever reads the line must not take it for a result to be told."""
    bench = Bench()
    bench.to_well()
    bench.must(NoteTemperature(by="op-1", where=Where.BAY, celsius=33.0), "5:00")
    events = bench.must(bench.read_act(NEGATIVE), "18:00")
    read = next(each for each in events if isinstance(each, CartridgeRead))
    assert tell_of_cartridge(read, bench.board, FACE).endswith("HELD for review.")


def test_a_reason_that_comes_with_the_reading_is_told_by_itself() -> None:
    """And not twice."""
    bench = Bench()
    bench.to_well()
    bench.must(bench.hold_act())
    events = bench.must(bench.read_act(NEGATIVE), "18:00")
    read = next(each for each in events if isinstance(each, CartridgeRead))
    assert len(events) == 2
    assert "HELD" not in tell_of_cartridge(read, bench.board, FACE)
