"""How a result stands, and how often whoever was told has to hear something else."""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING

from hypothesis import given, settings

from builders import (
    CLEAR,
    FAINT,
    NASAL,
    NEGATIVE,
    NO_CONTROL,
    THREE_LINES,
    Bench,
    at,
    bands,
)
from core.any_acts import PLANS, Plan, play
from core.board.review_acts import amend, hold, release, withdraw
from readbell.core.board.results import result_called
from readbell.core.cartridge.acts import CorrectReading
from readbell.core.cartridge.events import SlipReason, SubjectKind
from readbell.core.cartridge.stage import Stage
from readbell.core.reading.interpretation import Outcome
from readbell.core.refusal import Refusal
from readbell.core.results.result import is_reportable
from readbell.core.results.standing import standing_of
from readbell.core.results.status import REPORTABLE, ResultStatus
from readbell.core.review.reasons import HoldReason

if TYPE_CHECKING:
    from readbell.core.instant import Instant


def stands(made: Bench, label: str = "C1") -> tuple[str, str | None, int]:
    """Status, outcome and version of a cartridge."""
    found = made.result(label)
    return str(found.status), found.outcome, found.version


def test_nothing_is_reportable_before_anything_was_seen() -> None:
    """A hold upon what is still to be read changes nothing about that."""
    made = Bench()
    made.label()
    assert stands(made) == ("running", None, 0)
    made = Bench()
    made.to_well()
    hold(made, "3:00")
    assert stands(made) == ("running", None, 0)


def test_a_reading_in_the_window_is_final_at_once() -> None:
    """And stays so."""
    made = Bench()
    made.to_well()
    made.must(made.read_act(FAINT), "18:00")
    assert stands(made) == ("final", "positive", 1)
    found = made.result()
    assert (found.read_at, found.read_by) == (at("18:00"), "key-op-1")
    assert found.analytes[0].outcome is Outcome.POSITIVE
    assert found.analytes[0].first is None


def test_an_early_positive_is_preliminary_until_its_window_says_the_same() -> None:
    """Who was told hears of the final result too."""
    made = Bench()
    made.to_well()
    made.must(made.look_act(FAINT), "6:00")
    assert stands(made) == ("preliminary", "positive", 1)
    made.must(made.read_act(CLEAR), "18:00")
    assert stands(made) == ("final", "positive", 2)
    assert made.result().early is made.cartridge().early_looks[0]


def test_an_early_positive_that_is_contradicted_is_withheld_and_has_to_be_heard() -> None:
    """A positive that was told and no longer stands is the worst thing to keep quiet about."""
    made = Bench()
    made.to_well()
    made.must(made.look_act(FAINT), "6:00")
    made.must(made.read_act(NEGATIVE), "18:00")
    assert stands(made) == ("withheld", "withheld", 2)


def test_a_lapsed_cartridge_is_final_invalid_or_positive_where_one_was_seen_early() -> None:
    """It has no reading: no value either, save what was seen early."""
    made = Bench()
    made.to_well()
    made.lapse()
    assert stands(made) == ("final", "invalid", 1)
    assert made.result().lapsed
    assert (made.result().read_at, made.result().read_by) == (None, None)
    early = Bench()
    early.to_well()
    early.must(early.look_act(FAINT), "6:00")
    early.lapse()
    assert stands(early) == ("final", "positive", 2)


def test_what_is_held_is_told_to_nobody_until_it_is_released() -> None:
    """The hold and the reading fall at one instant, and are one change."""
    made = Bench()
    made.to_well()
    hold(made, "3:00")
    made.must(made.read_act(NEGATIVE), "18:00")
    assert stands(made) == ("held", "negative", 0)
    assert made.result().holds == (HoldReason.LOT_RECALLED,)
    made.must(release(), "19:00")
    assert stands(made) == ("final", "negative", 1)


def test_what_comes_of_one_act_at_one_instant_is_one_change() -> None:
    """A reading that is held by its own act was never there to be told."""
    made = Bench()
    made.to_well()
    made.must(made.read_act(NEGATIVE), "18:00")
    hold(made, "18:00")
    assert stands(made) == ("held", "negative", 0)
    assert made.result().since is None


def test_a_result_says_since_when_it_stands_as_it_has_to_be_heard() -> None:
    """From the act that changed it; a hold in between changes nothing."""
    made = Bench()
    made.to_well()
    assert standing_of(made.cartridge()).since is None
    made.must(made.read_act(NEGATIVE), "18:00")
    hold(made, "30:00")
    made.must(release(), "40:00")
    assert standing_of(made.cartridge()).since == at("18:00")
    made.must(withdraw(), "60:00")
    assert made.result().since == at("60:00")


def test_what_was_told_and_is_held_afterwards_changes_for_nobody_if_it_stands() -> None:
    """Only what comes of the review has to be heard."""
    made = Bench()
    made.to_well()
    made.must(made.read_act(NEGATIVE), "18:00")
    hold(made, "30:00")
    assert stands(made) == ("held", "negative", 1)
    made.must(release(), "40:00")
    assert stands(made) == ("final", "negative", 1)
    hold(made, "50:00")
    made.must(withdraw(), "60:00")
    assert stands(made) == ("withdrawn", None, 2)


def test_what_was_never_reportable_and_is_taken_back_has_to_be_heard_by_nobody() -> None:
    """Nobody can have been told anything."""
    made = Bench()
    made.to_well()
    hold(made, "3:00")
    made.must(made.read_act(NEGATIVE), "18:00")
    made.must(withdraw(), "19:00")
    assert stands(made) == ("withdrawn", None, 0)


def test_an_early_positive_taken_back_is_withdrawn_and_no_mere_void() -> None:
    """It was reportable when it was seen."""
    made = Bench()
    made.to_well()
    made.must(made.look_act(FAINT), "6:00")
    made.must(withdraw(), "7:00")
    assert made.cartridge().stage is Stage.VOID
    assert stands(made) == ("withdrawn", None, 2)


def test_nothing_comes_of_a_void_cartridge() -> None:
    """Not even an invalid result."""
    made = Bench()
    made.to_well()
    made.must(made.void_act(), "3:00")
    assert stands(made) == ("no-result", None, 0)


def test_a_slip_that_its_reader_mended_changes_what_is_told() -> None:
    """And only if it changes the outcome: faint and clear mean the same."""
    made = Bench()
    made.to_well()
    made.must(made.read_act(FAINT), "18:00")
    slip = SlipReason.PRESSED_WRONG_KEY
    made.must(CorrectReading(aim=made.aim(), bands=CLEAR, reason=slip), "18:10")
    assert stands(made) == ("final", "positive", 1)
    made.must(CorrectReading(aim=made.aim(), bands=NEGATIVE, reason=slip), "18:20")
    assert stands(made) == ("final", "negative", 2)


def test_an_amended_result_says_so_and_keeps_what_it_was() -> None:
    """Each amendment has to be heard, and the first outcome stays the first."""
    made = Bench()
    made.to_well()
    made.must(made.read_act(NEGATIVE), "18:00")
    made.must(amend(), "60:00")
    assert stands(made) == ("amended", "positive", 2)
    assert made.result().analytes[0].first is Outcome.NEGATIVE
    made.must(amend(NEGATIVE), "70:00")
    assert stands(made) == ("amended", "negative", 3)
    assert made.result().analytes[0].first is Outcome.NEGATIVE
    amend_same = stands(made)
    made.must(amend(FAINT), "80:00")
    made.must(amend(CLEAR), "90:00")
    assert amend_same != stands(made) == ("amended", "positive", 4)


def test_a_hold_outlives_an_amendment_that_does_not_settle_it() -> None:
    """A recalled lot is recalled whatever was on the strip."""
    made = Bench()
    made.to_well()
    made.must(made.read_act(NEGATIVE), "18:00")
    hold(made, "30:00")
    made.must(amend(), "60:00")
    assert stands(made) == ("held", "positive", 1)
    made.must(release(), "61:00")
    assert stands(made) == ("amended", "positive", 2)


def test_what_was_read_on_both_sides_of_a_cut_link_comes_to_nothing_by_itself() -> None:
    """Whatever else is marked on it meanwhile, and when it is released; a supervisor has to say."""
    made = Bench(THREE_LINES)
    made.to_well()
    seen = bands(influenza_a="clear", influenza_b="absent", sars_cov_2="faint")
    made.must(made.read_act(seen), "18:00")
    hold(made, "30:00", reason=HoldReason.READ_ON_BOTH_SIDES)
    hold(made, "31:00")
    made.must(release(), "32:00")

    standing = standing_of(made.cartridge())

    assert [(each.line, str(each.outcome)) for each in standing.outcomes] == [
        (line, "withheld") for line in THREE_LINES.line_keys
    ]
    assert standing.status is ResultStatus.WITHHELD


def test_each_analyte_has_its_own_outcome_and_open_ones_have_none() -> None:
    """Of three lines an early look settles those that show."""
    assay = replace(
        THREE_LINES, reading=replace(THREE_LINES.reading, early_from=NASAL.reading.early_from)
    )
    made = Bench(assay)
    made.to_well()
    first = bands(influenza_a="absent", influenza_b="absent", sars_cov_2="faint")
    second = bands(influenza_a="clear", influenza_b="absent", sars_cov_2="faint")
    made.must(made.look_act(first), "6:00")
    assert [each.outcome for each in made.result().analytes] == [None, None, Outcome.POSITIVE]
    made.must(made.look_act(second), "7:00")
    assert [each.outcome for each in made.result().analytes] == [
        Outcome.POSITIVE, None, Outcome.POSITIVE,
    ]  # fmt: skip
    assert stands(made) == ("preliminary", "positive", 2)


def test_only_a_patients_result_is_ever_reportable() -> None:
    """A control sample that read positive is nobody's."""
    made = Bench()
    made.to_well()
    made.must(made.read_act(FAINT), "18:00")
    found = made.result()
    assert is_reportable(found)
    assert not is_reportable(replace(found, subject_kind=SubjectKind.CONTROL_SAMPLE))
    assert not is_reportable(replace(found, status=ResultStatus.HELD))


def test_a_result_knows_specimen_drops_lot_and_what_was_not_kept() -> None:
    """Whoever hands it on asks for each of them."""
    made = Bench()
    made.label()
    for step in ("buffer", "collect", "extract"):
        made.step(step, "0:20")
    assert made.result().collected is not None
    assert made.result().applied is None
    made.step("withdraw", "5:00")
    made.step("apply", "5:10")
    found = made.result()
    assert found.collected is not None
    assert found.applied is not None
    assert (found.collected.said, found.applied.said) == (at("0:20"), at("5:10"))
    assert [each.code for each in found.deviations] == ["extract-long"]
    assert (found.lot, found.assay, found.label) == ("L-100", NASAL, "C1")
    assert found.assay_hash == made.cartridge().labelled.assay
    assert found == result_called(made.board, found.cartridge)


def test_the_specimen_of_an_assay_without_such_a_step_was_taken_at_no_known_time() -> None:
    """Rather nothing than a wrong instant."""
    steps = tuple(replace(each, collects=False) for each in NASAL.steps)
    made = Bench(replace(NASAL, steps=steps))
    made.to_well()
    assert made.result().collected is None


@settings(deadline=None, max_examples=60)
@given(plan=PLANS)
def test_a_version_rises_by_one_with_what_has_to_be_heard_and_never_falls(plan: Plan) -> None:
    """Whoever has heard version n has missed nothing as long as n is the version."""
    heard: dict[str, tuple[int, tuple[object, ...]]] = {}
    last: Instant | None = None
    for board, _, event in play(plan):
        if isinstance(event, Refusal) or event.at == last:
            continue  # what falls at one instant is one change
        last = event.at
        for cartridge in board.in_order():
            standing = standing_of(cartridge)
            told = (standing.status, standing.outcomes)
            version, said = heard.get(cartridge.id, (0, ()))
            assert version <= standing.version
            if standing.status in REPORTABLE:
                assert standing.version > 0
                assert standing.version > version or told == said
            if standing.version > version:
                assert told != said
                heard[cartridge.id] = (standing.version, told)


def test_an_invalid_reading_is_final_too() -> None:
    """It is told as invalid, and a repeat is due."""
    made = Bench()
    made.to_well()
    made.must(made.read_act(NO_CONTROL), "18:00")
    assert stands(made) == ("final", "invalid", 1)
