"""A slip of the keys is mended by whoever read the strip, while it may still be read."""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING, Any

import pytest

from builders import CLEAR, FAINT, NASAL, NEGATIVE, NO_CONTROL, SMEAR, Bench, at, bands
from readbell.core.board.events import ClockUnsure
from readbell.core.board.fold import fold
from readbell.core.cartridge.acts import CorrectReading
from readbell.core.cartridge.correction import bands_that_count, correctable_until
from readbell.core.cartridge.events import How, Identified, ReadingCorrected, SlipReason
from readbell.core.cartridge.stage import Stage
from readbell.core.reading.bands import Bands
from readbell.core.reading.interpretation import Outcome
from readbell.core.refusal import Refusal, RefusalCode

if TYPE_CHECKING:
    from readbell.core.assay.assay import Assay

OPEN_ENDED = replace(NASAL, reading=replace(NASAL.reading, closes=None))


def correction(bench: Bench, seen: Bands = CLEAR, **named: str) -> CorrectReading:
    """The act that mends the reading of C1."""
    return CorrectReading(aim=bench.aim(**named), bands=seen, reason=SlipReason.PRESSED_WRONG_KEY)


def read_bench(seen: Bands = NEGATIVE, *, early: Bands | None = None) -> Bench:
    """A bench on which C1, its drops at 2:30, was read at 18:00."""
    bench = Bench()
    bench.to_well()
    if early is not None:
        bench.must(bench.look_act(early), "5:00")
    bench.must(bench.read_act(seen), "18:00")
    return bench


def test_the_corrected_outcome_counts() -> None:
    """A positive entered as a negative is told as the positive it was."""
    bench = read_bench()
    (event,) = bench.must(correction(bench), "18:10")

    assert isinstance(event, ReadingCorrected)
    assert (event.outcome, event.reason) == (Outcome.POSITIVE, SlipReason.PRESSED_WRONG_KEY)
    assert bench.cartridge().outcome is Outcome.POSITIVE
    assert [each.outcome for each in bench.cartridge().outcomes] == [Outcome.POSITIVE]


def test_the_first_entry_stays_and_every_correction_with_it() -> None:
    """Nothing is edited: who entered what, and when, can be read for ever."""
    bench = read_bench()
    bench.must(correction(bench, CLEAR), "18:10")
    bench.must(correction(bench, NO_CONTROL), "18:20")
    cartridge = bench.cartridge()

    assert cartridge.reading is not None
    assert (cartridge.reading.bands, cartridge.reading.at) == (NEGATIVE, at("18:00"))
    assert [each.bands for each in cartridge.corrections] == [CLEAR, NO_CONTROL]
    assert (cartridge.stage, cartridge.outcome) == (Stage.READ, Outcome.INVALID)


def test_what_contradicts_an_early_positive_is_withheld_here_too() -> None:
    """A correction is judged as the reading would have been."""
    bench = read_bench(CLEAR, early=FAINT)
    (event,) = bench.must(correction(bench, NEGATIVE), "18:10")

    assert isinstance(event, ReadingCorrected)
    assert event.outcome is Outcome.WITHHELD


@pytest.mark.parametrize(
    ("now", "taken"),
    [
        pytest.param("22:30", True, id="as the window closes"),
        pytest.param("22:30.001", False, id="just after it"),
    ],
)
def test_a_reading_is_corrected_while_the_window_is_open(now: str, taken: bool) -> None:
    """Later the strip may show what it did not show; then it is an amendment."""
    bench = read_bench()
    found = bench.do(correction(bench), now)

    assert isinstance(found, Refusal) is not taken
    if isinstance(found, Refusal):
        assert (found.code, found.subject) == (RefusalCode.ALREADY_READ, "C1")


@pytest.mark.parametrize(
    ("now", "taken"),
    [
        pytest.param("45:00", True, id="five minutes after the reading"),
        pytest.param("45:00.001", False, id="just after them"),
    ],
)
def test_without_a_stated_close_five_minutes_are_left(now: str, taken: bool) -> None:
    """Somebody who notices a slip notices it at once (our own choice)."""
    bench = Bench(OPEN_ENDED)
    bench.to_well()
    bench.must(bench.read_act(NEGATIVE), "40:00")

    assert isinstance(bench.do(correction(bench), now), Refusal) is not taken


def test_a_correction_leaves_the_time_for_the_next_as_it_was() -> None:
    """Or a strip could be read again for as long as somebody kept correcting."""
    bench = Bench(OPEN_ENDED)
    bench.to_well()
    bench.must(bench.read_act(NEGATIVE), "40:00")
    bench.must(correction(bench), "44:00")

    assert correctable_until(bench.cartridge()) == at("45:00")


def test_nobody_corrects_what_somebody_else_read() -> None:
    """Only the reader knows what they saw and what they pressed."""
    bench = read_bench()
    refusal = bench.refused(correction(bench, by="op-2"), "18:10")

    assert refusal == Refusal(code=RefusalCode.NOT_ALLOWED, subject="another reader")


@pytest.mark.parametrize(
    ("named", "code"),
    [
        pytest.param({"by": "nobody"}, "unknown-operator", id="nobody"),
        pytest.param({"scanned": "C9"}, "wrong-cartridge", id="another cartridge"),
        pytest.param({"person": "P-002"}, "wrong-person", id="another person"),
    ],
)
def test_cartridge_and_person_are_made_sure_of_as_for_a_reading(
    named: dict[str, Any], code: str
) -> None:
    """The wrong strip in the hand is no slip of the keys."""
    bench = read_bench()

    assert bench.refused(correction(bench, **named), "18:10").code == code


@pytest.mark.parametrize(
    ("seen", "code"),
    [
        pytest.param(Bands(), "bad-bands", id="nothing answered"),
        pytest.param(bands(influenza_a="clear"), "bad-bands", id="another line answered"),
        pytest.param(NEGATIVE, "already-known", id="the same once more"),
    ],
)
def test_a_correction_is_whole_and_new(seen: Bands, code: str) -> None:
    """A second press of the same key leaves no second line in the record."""
    bench = read_bench()

    assert bench.refused(correction(bench, seen), "18:10").code == code


def test_what_counts_is_what_was_corrected_last() -> None:
    """Pressed twice, a correction is refused; going back to the first entry is another."""
    bench = read_bench()
    assert bands_that_count(bench.cartridge()) == NEGATIVE
    bench.must(correction(bench), "18:10")
    assert bands_that_count(bench.cartridge()) == CLEAR
    bench.refused(correction(bench), "18:11")
    bench.must(correction(bench, NEGATIVE), "18:12")

    assert bands_that_count(bench.cartridge()) == NEGATIVE


def test_a_strip_found_unreadable_is_corrected_to_invalid() -> None:
    """Whoever pressed past the smear may still say so."""
    bench = read_bench()
    bench.must(correction(bench, SMEAR), "18:10")

    assert bench.cartridge().outcome is Outcome.INVALID


def test_what_was_never_read_cannot_be_corrected() -> None:
    """A correction must not become a way round the reading."""
    bench = Bench()
    bench.label()
    early = bench.refused(correction(bench), "0:10")
    bench.to_well("C2", "P-002")
    developing = bench.refused(replace(correction(bench), aim=bench.aim("C2")), "18:00")

    assert (early.code, early.subject) == ("out-of-order", "Buffer into the tube")
    assert (developing.code, developing.subject) == ("out-of-order", "")
    assert correctable_until(bench.cartridge()) is None
    assert bands_that_count(bench.cartridge()) is None


def test_a_lapsed_or_void_cartridge_stays_ended() -> None:
    """There is no reading on it to mend."""
    bench = Bench()
    bench.to_well()
    lapsed = bench.refused(correction(bench), "22:30.001")
    bench.must(bench.void_act(), "3:00")
    void = bench.refused(correction(bench), "3:01")

    assert (lapsed.code, void.code) == ("already-ended", "already-ended")


def test_a_second_reading_stays_refused() -> None:
    """A reading stays; what mends it says that it does."""
    bench = read_bench()
    bench.must(correction(bench), "18:10")

    assert bench.refused(bench.read_act(CLEAR), "18:20").code is RefusalCode.ALREADY_READ


def test_after_a_restart_that_nobody_timed_a_reading_stays() -> None:
    """The window may have closed meanwhile, so it counts as closed."""
    bench = read_bench()
    bench.board = fold(bench.board, ClockUnsure(at=at("18:05"), cartridges=("id-C1",)))

    assert bench.refused(correction(bench), "18:10").code is RefusalCode.ALREADY_READ
    assert bench.cartridge().outcome is Outcome.NEGATIVE


def test_a_reading_corrected_to_invalid_asks_for_a_repeat() -> None:
    """The next cartridge of this person is linked to the one that failed after all."""
    bench = read_bench()
    bench.must(correction(bench, NO_CONTROL), "18:10")
    bench.label("C2", now="19:00")

    assert bench.cartridge("C2").labelled.repeat_of == "id-C1"


def test_a_correction_says_who_made_it_when_and_how_sure_it_was_the_right_strip() -> None:
    """It stands beside the first entry, and must bear as much weight."""
    bench = read_bench()
    act = correction(bench)
    sure = replace(act.aim, cartridge_by=How.SCANNED, person_by=How.TYPED)
    (event,) = bench.must(replace(act, aim=sure), "18:10")

    assert isinstance(event, ReadingCorrected)
    assert (event.at, event.by) == (at("18:10"), "key-op-1")
    assert event.identified == Identified(cartridge=How.SCANNED, person=How.TYPED)


def test_a_correction_that_changes_nothing_says_so() -> None:
    """Otherwise whoever pressed looks for what is already known elsewhere."""
    bench = read_bench(CLEAR)

    assert bench.refused(correction(bench, CLEAR), "18:10").subject == "reading"


@pytest.mark.parametrize("assay", [NASAL, OPEN_ENDED], ids=["with a close", "without one"])
def test_what_was_never_read_can_be_corrected_at_no_time(assay: Assay) -> None:
    """A void strip would otherwise be called unsure for a reading that it never had."""
    bench = Bench(assay)
    bench.to_well()
    developing = bench.cartridge()
    bench.must(bench.void_act(), "3:00")

    assert correctable_until(developing) is None
    assert correctable_until(bench.cartridge()) is None
