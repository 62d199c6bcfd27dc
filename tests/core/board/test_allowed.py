"""Signing in and roles: refused at the start, never at the read, and never where life is at stake."""

from __future__ import annotations

from datetime import date
from typing import TYPE_CHECKING

import pytest

from builders import CLEAR, FAINT, NASAL, NEGATIVE, TODAY, Bench, at
from readbell.core.board.acts import HearAlert, HoldLot, OpenLot, TryAlarm, Unmute
from readbell.core.board.fold import fold
from readbell.core.board.review import awaiting_review
from readbell.core.cartridge.acts import (
    CorrectReading,
    Label,
    Read,
    StateApplication,
    TakeBackStep,
)
from readbell.core.cartridge.events import (
    AlertKind,
    AlertRaised,
    CartridgeRead,
    SlipReason,
    TakeBackReason,
)
from readbell.core.policy.events import PolicySet
from readbell.core.policy.policy import SitePolicy
from readbell.core.policy.staffing import OutsideCompetence, SignInBy
from readbell.core.refusal import Refusal, RefusalCode
from readbell.core.review.events import ReadingHeld
from readbell.core.review.reasons import HoldReason
from readbell.core.staff.acts import GiveRoles, SignIn, StateCompetence
from readbell.core.staff.events import StartSupervised
from readbell.core.staff.roles import Role

if TYPE_CHECKING:
    from readbell.core.board.acts import Act

BADGE = SitePolicy(sign_in=SignInBy.BADGE)


def under(policy: SitePolicy, made: Bench | None = None) -> Bench:
    """A bench under `policy`."""
    made = made or Bench()
    made.board = fold(made.board, PolicySet(at=at("0:00"), policy=policy))
    return made


def held(events: tuple[object, ...]) -> tuple[HoldReason, ...]:
    """Why the reading was held by what happened; nothing if it was not."""
    return tuple(
        reason for each in events if isinstance(each, ReadingHeld) for reason in each.reasons
    )


@pytest.mark.parametrize(
    "act",
    [
        Bench().label_act(),
        Bench().void_act("C2"),
        OpenLot(by="op-1", lot="L-100", today=TODAY),
    ],
    ids=lambda act: type(act).__name__,
)
def test_whoever_is_not_signed_in_starts_and_ends_nothing(act: Act) -> None:
    """One scan of a badge mends it."""
    made = Bench()
    made.label("C2")
    under(BADGE, made)
    refused = made.refused(act)
    assert refused == Refusal(code=RefusalCode.NOT_SIGNED_IN, subject="op-1")
    made.must(SignIn(by="op-1"))
    made.must(act)


def test_what_runs_goes_on_whoever_is_signed_in_and_its_reading_is_held() -> None:
    """The specimen is taken and the clock runs: a forgotten badge must not cost the test."""
    made = Bench()
    made.label()
    under(BADGE, made)
    events = made.must(made.step_act("buffer"))
    assert held(events) == (HoldReason.NOT_SIGNED_IN,)
    assert held(made.must(made.step_act("collect"))) == ()
    assert made.cartridge().held == (HoldReason.NOT_SIGNED_IN,)


def test_a_slip_is_mended_whoever_is_signed_in_and_its_reading_is_held() -> None:
    """A window that opens by drops that never fell is worse than a badge that was forgotten.

    What held the reading before still does: that somebody unknown worked on it stays true.
    """
    made = Bench()
    made.to_well()
    under(BADGE, made)
    act = TakeBackStep(aim=made.aim(), step="apply", reason=TakeBackReason.NOT_DONE)
    assert held(made.must(act, "3:00")) == (HoldReason.NOT_SIGNED_IN,)
    made.must(SignIn(by="op-1"), "3:10")
    assert held(made.must(made.step_act("apply"), "3:20")) == ()
    act = TakeBackStep(aim=made.aim(), step="apply", reason=TakeBackReason.NOT_DONE)
    assert held(made.must(act, "3:30")) == ()
    assert made.cartridge().held == (HoldReason.NOT_SIGNED_IN,)


def test_a_reading_by_somebody_who_is_not_signed_in_counts_and_is_held() -> None:
    """Refused at the start, never at the read."""
    made = Bench()
    made.to_well()
    under(BADGE, made)
    events = made.must(made.read_act(NEGATIVE), "18:00")

    assert isinstance(events[0], CartridgeRead)
    assert held(events) == (HoldReason.NOT_SIGNED_IN,)
    assert [each.label for each in awaiting_review(made.board)] == ["C1"]


def test_an_early_look_and_a_correction_are_held_alike() -> None:
    """Each says what was on the strip."""
    made = Bench()
    made.to_well()
    under(BADGE, made)
    assert held(made.must(made.look_act(FAINT), "6:00")) == (HoldReason.NOT_SIGNED_IN,)
    made.must(SignIn(by="op-1"), "17:00")
    made.must(made.read_act(CLEAR), "18:00")
    mended = CorrectReading(aim=made.aim(), bands=FAINT, reason=SlipReason.PRESSED_WRONG_KEY)
    assert held(made.must(mended, "18:01")) == ()


def test_a_void_by_statement_is_held_for_nothing() -> None:
    """Nothing will be read of it."""
    made = Bench()
    made.to_well()
    from readbell.core.board.events import ClockUnsure

    made.board = fold(made.board, ClockUnsure(at=at("3:00"), cartridges=("id-C1",)))
    under(BADGE, made)
    wide = StateApplication(
        aim=made.aim(),
        witness="op-2",
        done_at=at("2:30"),
        give_or_take=at("10:00") - at("0:00"),  # type: ignore[arg-type]
    )
    assert held(made.must(wide, "4:00")) == ()
    assert made.cartridge().voided is not None


def test_sounds_and_lots_are_stopped_without_signing_in() -> None:
    """A lock must never keep an alarm ringing or a bad lot open."""
    made = Bench()
    made.to_well()
    alert = AlertRaised(
        at=at("17:30"), cartridge="id-C1", alert=AlertKind.READ_NOW, due=at("17:30"), step=""
    )
    made.board = fold(made.board, alert)
    under(BADGE, made)
    for act in (
        HearAlert(by=None, cartridge="C1"),
        HearAlert(by="op-1", cartridge="C1"),
        Unmute(by="op-1"),
        TryAlarm(by="op-1", heard=True),
        HoldLot(by="op-1", lot="L-100"),
    ):
        made.must(act, "18:00")


def test_nobody_in_particular_hears_an_alarm_only_where_people_sign_in() -> None:
    """Elsewhere somebody acts, and is named."""
    made = Bench()
    made.to_well()
    act = HearAlert(by=None, cartridge="C1")
    assert made.refused(act, "18:00").code is RefusalCode.UNKNOWN_OPERATOR
    under(SitePolicy(idle_lock_minutes=5), made)
    assert made.do(act, "3:00") == Refusal(code=RefusalCode.NOT_ALLOWED, subject="nothing calls")
    made.must(act, "18:00")


def test_a_tester_starts_and_a_reader_reads() -> None:
    """A start without the role is refused; a reading without it is held."""
    made = Bench()
    made.to_well()
    made.must(GiveRoles(by="op-1", operator="op-2", roles=(Role.READER,)))
    start = made.label_act("C2", "P-002", by="op-2")
    assert made.refused(start) == Refusal(code=RefusalCode.ROLE_MISSING, subject=Role.TESTER)
    made.must(GiveRoles(by="op-1", operator="op-2", roles=(Role.TESTER,)))
    made.must(start)
    events = made.must(made.read_act(NEGATIVE, by="op-2"), "18:00")
    assert held(events) == (HoldReason.WITHOUT_ROLE,)


def read_by(made: Bench, who: str, day: date | None) -> tuple[HoldReason, ...]:
    """Why a reading of C1 by `who` on `day` is held."""
    return held(made.must(Read(aim=made.aim(by=who), bands=NEGATIVE, today=day), "18:00"))


@pytest.mark.parametrize("asks", [OutsideCompetence.SUPERVISED, OutsideCompetence.REFUSED])
@pytest.mark.parametrize(
    ("day", "reasons"),
    [
        pytest.param(date(2026, 3, 31), (), id="cleared"),
        pytest.param(date(2026, 4, 1), (HoldReason.NOT_COMPETENT,), id="no longer"),
        pytest.param(None, (HoldReason.NOT_COMPETENT,), id="nobody knows the day"),
    ],
)
def test_a_reading_by_somebody_who_is_not_cleared_is_held(
    asks: OutsideCompetence, day: date | None, reasons: tuple[HoldReason, ...]
) -> None:
    """It is never refused: the strip cannot wait for a certificate."""
    made = Bench()
    made.to_well()
    made.must(StateCompetence(by="op-1", operator="op-2", assay=NASAL.id, until=date(2026, 3, 31)))
    under(SitePolicy(outside_competence=asks), made)
    assert read_by(made, "op-2", day) == reasons


def test_where_nobody_asks_for_clearances_nothing_is_held() -> None:
    """As it comes."""
    made = Bench()
    made.to_well()
    assert read_by(made, "op-2", None) == ()


def start(made: Bench, *, by: str = "op-2", witness: str | None = None) -> Label:
    """The start of C1 by `by`, with a witness or without."""
    act = made.label_act(by=by)
    return Label(aim=act.aim, new_id=act.new_id, lot=act.lot, today=TODAY, witness=witness)


def test_a_start_outside_ones_competence_is_refused_where_the_site_says_so() -> None:
    """Nothing helps but somebody who is cleared."""
    made = under(SitePolicy(outside_competence=OutsideCompetence.REFUSED))
    refused = made.refused(start(made, witness="op-1"))
    assert refused == Refusal(code=RefusalCode.NOT_COMPETENT, subject=NASAL.title)
    made.must(StateCompetence(by="op-1", operator="op-2", assay=NASAL.id, until=TODAY))
    assert len(made.must(start(made))) == 1


def test_a_start_outside_ones_competence_takes_a_supervisor_who_stands_by() -> None:
    """Somebody else, who is a supervisor, and is on record."""
    made = Bench()
    made.must(GiveRoles(by="op-1", operator="op-2", roles=(Role.TESTER,)))
    under(SitePolicy(outside_competence=OutsideCompetence.SUPERVISED), made)
    assert made.refused(start(made)).code is RefusalCode.NOT_COMPETENT
    for by, witness, code in (
        ("op-2", "op-9", RefusalCode.UNKNOWN_OPERATOR),
        ("op-2", "op-2", RefusalCode.NOT_ALLOWED),
        ("op-1", "op-2", RefusalCode.ROLE_MISSING),
    ):
        assert made.refused(start(made, by=by, witness=witness)).code is code
    _, event = made.must(start(made, witness="op-1"))
    assert event == StartSupervised(
        at=at("0:00"), by="key-op-2", witness="key-op-1", cartridge="id-C1"
    )


def test_what_is_wrong_with_a_start_in_itself_is_said_first() -> None:
    """The order of the reasons is fixed."""
    made = under(SitePolicy(outside_competence=OutsideCompetence.REFUSED))
    assert made.refused(made.label_act(lot="L-9")).code is RefusalCode.UNKNOWN_LOT
    assert made.refused(made.label_act(by="op-9")).code is RefusalCode.UNKNOWN_OPERATOR
