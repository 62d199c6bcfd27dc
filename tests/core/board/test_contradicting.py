"""A repeat that says otherwise than what was seen early before waits for a supervisor."""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING

import pytest

from builders import CLEAR, FAINT, NEGATIVE, NO_CONTROL, Bench, at, private
from readbell.core.assay.reading_rules import SecondReader
from readbell.core.board.fold import fold
from readbell.core.board.results import visit_results
from readbell.core.cartridge.acts import CorrectReading
from readbell.core.cartridge.events import SlipReason
from readbell.core.cartridge.unverified import ReadUnverified
from readbell.core.policy.events import PolicySet
from readbell.core.policy.policy import SitePolicy
from readbell.core.policy.second_reading import SecondReaderRule
from readbell.core.review.acts import ReleaseReading, WithdrawResult
from readbell.core.review.reasons import HoldReason, WithdrawReason

if TYPE_CHECKING:
    from readbell.core.reading.bands import Bands

HELD = (HoldReason.CONTRADICTS_EARLIER,)


def withheld() -> Bench:
    """A bench on which C1 was positive early and negative in its window."""
    made = Bench()
    made.to_well()
    made.must(made.look_act(FAINT), "6:00")
    made.must(made.read_act(NEGATIVE), "18:00")
    return made


def repeat(made: Bench, seen: Bands, label: str = "C2", hour: int = 1) -> None:
    """Run a repeat for the same person and read it."""
    to_well(made, label, hour)
    made.must(made.read_act(seen, label), f"{hour}:18:00")


def to_well(made: Bench, label: str = "C2", hour: int = 1) -> None:
    """Take a repeat to the well."""
    made.must(made.label_act(label), f"{hour}:00:00")
    for step in ("buffer", "collect", "extract"):
        made.step(step, f"{hour}:00:00", label)
    made.step("withdraw", f"{hour}:01:00", label)
    made.step("apply", f"{hour}:02:00", label)


def reportable(made: Bench) -> list[str | None]:
    """The label of the reportable result of each visit."""
    visits = visit_results(made.board, "key-P-001", lambda _: 0)
    return [None if (found := each.reportable) is None else found.label for each in visits]


@pytest.mark.parametrize(("seen", "held"), [(NEGATIVE, HELD), (CLEAR, ()), (NO_CONTROL, ())])
def test_a_negative_repeat_of_a_withheld_early_positive_is_held(
    seen: Bands, held: tuple[HoldReason, ...]
) -> None:
    """The program decides nothing between two strips; a positive one agrees."""
    made = withheld()
    repeat(made, seen)
    assert made.cartridge("C2").held == held
    assert reportable(made) == ["C2" if seen is CLEAR else None]


def test_once_a_supervisor_lets_it_stand_it_is_the_result_of_the_visit() -> None:
    """Who decided, and why, is on record."""
    made = withheld()
    repeat(made, NEGATIVE)
    made.must(ReleaseReading(by="op-2", cartridge="C2", words=private("new specimen")), "2:00:00")
    assert reportable(made) == ["C2"]


def test_a_repeat_of_the_repeat_is_held_against_the_first_one_too() -> None:
    """An invalid one between them changes nothing."""
    made = withheld()
    repeat(made, NO_CONTROL)
    repeat(made, NEGATIVE, "C3", 2)
    assert made.cartridge("C3").held == HELD


def test_what_was_taken_back_is_contradicted_by_nothing() -> None:
    """It counts no more."""
    made = withheld()
    reason = WithdrawReason.KIT_FAULT
    made.must(WithdrawResult(by="op-2", cartridge="C1", reason=reason, words=private("x")), "30:00")
    repeat(made, NEGATIVE)
    assert not made.cartridge("C2").held


def test_a_negative_after_an_invalid_contradicts_nothing() -> None:
    """Nothing was seen on that one."""
    made = Bench()
    made.to_well()
    made.must(made.read_act(NO_CONTROL), "18:00")
    repeat(made, NEGATIVE)
    assert not made.cartridge("C2").held


def test_a_correction_to_negative_is_held_as_the_reading_would_have_been() -> None:
    """And only once."""
    made = withheld()
    repeat(made, CLEAR)
    slip = SlipReason.PRESSED_WRONG_KEY
    act = CorrectReading(aim=made.aim("C2"), bands=NEGATIVE, reason=slip)
    made.must(act, "1:18:10")
    assert made.cartridge("C2").held == HELD
    made.must(CorrectReading(aim=made.aim("C2"), bands=CLEAR, reason=slip), "1:18:20")
    made.must(act, "1:18:30")
    assert len(made.cartridge("C2").holds) == 1


def test_of_two_readings_only_what_they_come_to_is_held_against_it() -> None:
    """A hold after the first one would tell the second reader what was seen."""
    made = withheld()
    policy = SitePolicy(second_reader=(SecondReaderRule(when=SecondReader.ALL),))
    made.board = fold(made.board, PolicySet(at=at("30:00"), policy=policy))
    repeat(made, CLEAR)
    slip = SlipReason.PRESSED_WRONG_KEY
    made.must(CorrectReading(aim=made.aim("C2"), bands=NEGATIVE, reason=slip), "1:18:10")
    assert not made.cartridge("C2").held
    made.must(made.read_act(NEGATIVE, "C2", by="op-2"), "1:19:00")
    assert made.cartridge("C2").held == HELD


def test_the_first_of_two_readings_is_held_against_nothing_yet() -> None:
    """As above, where it says negative at once."""
    made = withheld()
    policy = SitePolicy(second_reader=(SecondReaderRule(when=SecondReader.ALL),))
    made.board = fold(made.board, PolicySet(at=at("30:00"), policy=policy))
    repeat(made, NEGATIVE)
    assert made.cartridge("C2").awaits_second
    assert not made.cartridge("C2").held


def test_whoever_read_what_is_held_is_named_and_a_typed_name_is_nobodys() -> None:
    """A hold names operators by key; who typed a name is in the reading itself."""
    made = withheld()
    repeat(made, NEGATIVE)
    assert [each.by for each in made.cartridge("C2").holds] == ["key-op-1"]
    typed = withheld()
    to_well(typed)
    aim = replace(typed.aim("C2"), by="")
    typed.must(ReadUnverified(aim=aim, bands=NEGATIVE, name=private("A. Name")), "1:18:00")
    assert typed.cartridge("C2").held == (HoldReason.UNVERIFIED, *HELD)
    assert [each.by for each in typed.cartridge("C2").holds] == [None, None]
