"""Roles, PINs, signing in, clearances and opened records: who may, and what is recorded."""

from __future__ import annotations

from datetime import date
from typing import TYPE_CHECKING

import pytest

from builders import NASAL, NEGATIVE, Bench, at, private
from readbell.core.board.acts import RegisterOperator
from readbell.core.board.allowed import NEEDS
from readbell.core.board.events import ActRefused, Ending, ProgramStarted, ProgramStopped
from readbell.core.board.fold import fold
from readbell.core.board.staff import (
    LAST_SUPERVISOR,
    NO_ROLE,
    NONE_SET,
    OWN_CLEARANCE,
    OWN_LOCK,
    attempts_that_lock,
    results_seen,
)
from readbell.core.errors import BrokenRecordError
from readbell.core.instant import Span
from readbell.core.policy.events import PolicySet
from readbell.core.policy.policy import SitePolicy
from readbell.core.policy.staffing import SignInBy
from readbell.core.refusal import Refusal, RefusalCode
from readbell.core.shift.events import ShiftOpened
from readbell.core.staff.acts import (
    GiveRoles,
    LockStation,
    OpenRecord,
    PinCheck,
    RetireOperator,
    SetPin,
    SignIn,
    SignOut,
    StateCompetence,
    UnlockOperator,
)
from readbell.core.staff.events import (
    CompetenceStated,
    Opened,
    Proof,
    RecordOpened,
    RolesGiven,
    SignedIn,
    SignedOut,
)
from readbell.core.staff.roles import EVERY_ROLE, Role

if TYPE_CHECKING:
    from readbell.core.board.acts import Act

PIN = SitePolicy(sign_in=SignInBy.PIN, pin_attempts=3)
UNTIL = date(2026, 12, 31)


def bench(policy: SitePolicy | None = None, *, roles: bool = False) -> Bench:
    """A bench under `policy`; with `roles` op-2 is a tester and op-1 the supervisor."""
    made = Bench()
    if roles:
        made.must(GiveRoles(by="op-1", operator="op-2", roles=(Role.TESTER,)))
    if policy is not None:
        made.board = fold(made.board, PolicySet(at=at("0:00"), policy=policy))
    return made


def wrong(made: Bench, who: str = "op-2", now: str = "0:00") -> Refusal:
    """Give a wrong PIN, and put the near miss on the board as a bay does."""
    refused = made.refused(SignIn(by=who, pin=PinCheck.WRONG), now)
    near_miss = ActRefused(
        at=at(now),
        by=made.board.operators.get(who),
        act="sign-in",
        code=refused.code,
        cartridge=None,
        entered=None,
        bands=None,
    )
    made.board = fold(made.board, near_miss)
    return refused


def with_pins(policy: SitePolicy = PIN) -> Bench:
    """A bench where both operators have a PIN."""
    made = bench()
    for who in ("op-1", "op-2"):
        made.must(SetPin(by="op-1", operator=who))
    made.board = fold(made.board, PolicySet(at=at("0:00"), policy=policy))
    return made


def test_roles_are_given_in_their_own_order_and_once_each() -> None:
    """However they were said."""
    made = bench()
    (event,) = made.must(
        GiveRoles(by="op-1", operator="op-2", roles=(Role.READER, Role.TESTER, Role.READER))
    )

    assert isinstance(event, RolesGiven)
    assert event.roles == (Role.TESTER, Role.READER)
    assert made.board.roster.roles_of("key-op-2") == event.roles
    assert made.board.roster.roles_of("key-op-1") == EVERY_ROLE


def test_somebody_must_stay_a_supervisor() -> None:
    """Else nobody could ever give roles again."""
    made = bench()
    no_more = GiveRoles(by="op-2", operator="op-1", roles=(Role.TESTER,))
    assert made.refused(no_more).subject == LAST_SUPERVISOR
    made.must(GiveRoles(by="op-1", operator="op-2", roles=EVERY_ROLE))
    made.must(no_more)
    assert made.board.roster.supervisors() == ("key-op-2",)
    assert made.refused(RetireOperator(by="op-2", operator="op-2")).subject == LAST_SUPERVISOR


def test_no_role_at_all_is_none() -> None:
    """Whoever leaves is retired instead."""
    assert bench().refused(GiveRoles(by="op-1", operator="op-2", roles=())).subject == NO_ROLE


@pytest.mark.parametrize(
    "act",
    [
        GiveRoles(by="op-2", operator="op-2", roles=EVERY_ROLE),
        RetireOperator(by="op-2", operator="op-1"),
        UnlockOperator(by="op-2", operator="op-1"),
        StateCompetence(by="op-2", operator="op-1", assay=NASAL.id, until=UNTIL),
        RegisterOperator(by="op-2", operator=private("op-3")),
        SetPin(by="op-2", operator="op-1"),
    ],
    ids=lambda act: type(act).__name__,
)
def test_what_a_supervisor_decides_nobody_else_does(act: Act) -> None:
    """Nobody raises themselves."""
    refused = bench(roles=True).refused(act)

    assert (refused.code, refused.subject) == (RefusalCode.ROLE_MISSING, Role.SUPERVISOR)


@pytest.mark.parametrize(
    "act",
    [
        GiveRoles(by="op-9", operator="op-2", roles=EVERY_ROLE),
        GiveRoles(by="op-1", operator="op-9", roles=EVERY_ROLE),
        SignIn(by="op-9"),
        SignOut(by="op-9"),
        OpenRecord(by="op-9", person="P-001", what=Opened.HISTORY, since=at("0:00")),
    ],
    ids=lambda act: type(act).__name__,
)
def test_a_stranger_is_unknown(act: Act) -> None:
    """As everywhere."""
    assert bench().refused(act) == Refusal(code=RefusalCode.UNKNOWN_OPERATOR, subject="op-9")


def test_whoever_is_retired_acts_no_more_and_keeps_their_name() -> None:
    """Their ID may be given to somebody else; the record tells them apart."""
    made = bench()
    made.must(RetireOperator(by="op-1", operator="op-2"))

    assert made.refused(SignIn(by="op-2")).code is RefusalCode.UNKNOWN_OPERATOR
    assert made.board.name("key-op-2") == "op-2"
    assert made.board.roster.working == ("key-op-1",)
    made.must(RegisterOperator(by="op-1", operator=private("op-2")))


def test_a_badge_alone_signs_in_where_no_pin_is_asked_for() -> None:
    """One act, also where nobody has to."""
    for policy in (None, SitePolicy(sign_in=SignInBy.BADGE)):
        made = bench(policy)
        (event,) = made.must(SignIn(by="op-2"))
        assert event == SignedIn(at=at("0:00"), operator="key-op-2", proof=Proof.BADGE)
        assert made.board.roster.signed_in == ("key-op-2",)
        (event,) = made.must(SignOut(by="op-2"))
        assert event == SignedOut(at=at("0:00"), operator="key-op-2")
        assert not made.board.roster.signed_in


def test_several_are_signed_in_at_once_until_the_station_is_locked() -> None:
    """And after it each has to sign in again."""
    made = with_pins()
    for who in ("op-1", "op-2"):
        (event,) = made.must(SignIn(by=who, pin=PinCheck.RIGHT))
        assert isinstance(event, SignedIn)
        assert event.proof is Proof.PIN
    assert made.board.roster.signed_in == ("key-op-1", "key-op-2")
    made.must(LockStation())
    assert not made.board.roster.signed_in


def test_a_program_started_anew_signs_everybody_out() -> None:
    """Who starts it may be somebody else."""
    made = with_pins()
    made.must(SignIn(by="op-1", pin=PinCheck.RIGHT))
    made.board = fold(made.board, ProgramStopped(at=at("0:01"), why=Ending.LEFT))
    made.board = fold(
        made.board, ProgramStarted(at=at("0:02"), clean=True, away=Span(1), running=0)
    )
    assert not made.board.roster.signed_in


def test_where_a_pin_is_asked_for_nobody_signs_in_without_the_right_one() -> None:
    """Nor where none was ever set, or the file of them is gone."""
    made = with_pins()
    assert made.refused(SignIn(by="op-2")) == Refusal(code=RefusalCode.PIN_WANTED, subject="op-2")
    gone = made.refused(SignIn(by="op-2", pin=PinCheck.NONE_ON_FILE))
    assert gone == Refusal(code=RefusalCode.PIN_WANTED, subject=NONE_SET)
    never = bench(PIN).refused(SignIn(by="op-2", pin=PinCheck.RIGHT))
    assert never == gone


def test_wrong_pins_cost_time_then_the_right_to_sign_in_until_a_supervisor_gives_it_back() -> None:
    """Two, four seconds; at the third it is over, whatever is typed then."""
    made = with_pins()
    assert wrong(made).code is RefusalCode.WRONG_PIN
    early = made.refused(SignIn(by="op-2", pin=PinCheck.RIGHT), "0:01.999")
    assert (early.code, early.subject, early.due) == (
        RefusalCode.PIN_TOO_SOON, "op-2", at("0:02"),
    )  # fmt: skip
    wrong(made, now="0:02")
    wrong(made, now="0:06")
    locked = made.refused(SignIn(by="op-2", pin=PinCheck.RIGHT), "9:00:00")
    assert locked == Refusal(code=RefusalCode.LOCKED_OUT, subject="op-2")

    made.must(SignIn(by="op-1", pin=PinCheck.RIGHT), "9:00:00")
    made.must(UnlockOperator(by="op-1", operator="op-2"), "9:00:00")
    made.must(SignIn(by="op-2", pin=PinCheck.RIGHT), "9:00:00")


def test_the_right_pin_forgives_the_wrong_ones_before_it() -> None:
    """Only those in a row count."""
    made = with_pins()
    wrong(made)
    made.must(SignIn(by="op-2", pin=PinCheck.RIGHT), "0:02")
    assert made.board.roster.standing("key-op-2").wrong_pins == 0


def test_a_new_pin_forgives_too() -> None:
    """It is how a supervisor helps somebody who forgot theirs."""
    made = with_pins()
    wrong(made)
    made.must(SignIn(by="op-1", pin=PinCheck.RIGHT))
    made.must(SetPin(by="op-1", operator="op-2"))
    assert made.board.roster.standing("key-op-2").last_wrong is None


def test_any_other_refusal_counts_against_nobody() -> None:
    """A near miss changes nothing; a wrong PIN of a stranger has nobody to count against."""
    made = with_pins()
    before = made.board.roster
    for by, code in ((None, RefusalCode.WRONG_PIN), ("key-op-2", RefusalCode.TOO_EARLY)):
        made.board = fold(
            made.board,
            ActRefused(
                at=at("0:00"),
                by=by,
                act="sign-in",
                code=code,
                cartridge=None,
                entered=None,
                bands=None,
            ),
        )
    assert made.board.roster == before


def test_nobody_unlocks_themselves() -> None:
    """It would be no lock."""
    made = bench()
    assert made.refused(UnlockOperator(by="op-1", operator="op-1")).subject == OWN_LOCK


def test_one_who_works_alone_is_slowed_down_and_never_locked_out() -> None:
    """Nobody else is there who could unlock them."""
    made = with_pins()
    assert attempts_that_lock(made.board) == 3
    made.must(SignIn(by="op-1", pin=PinCheck.RIGHT))
    made.must(RetireOperator(by="op-1", operator="op-2"))
    assert attempts_that_lock(made.board) == 0


def test_where_nobody_has_a_pin_yet_each_may_set_their_own_and_after_that_signs_in_first() -> None:
    """Else nobody could ever sign in where a PIN is asked for."""
    made = bench(PIN)
    assert made.refused(SetPin(by="op-1", operator="op-2")).code is RefusalCode.NOT_SIGNED_IN
    made.must(SetPin(by="op-1", operator="op-1"))
    assert made.refused(SetPin(by="op-2", operator="op-2")).code is RefusalCode.NOT_SIGNED_IN
    made.must(SignIn(by="op-1", pin=PinCheck.RIGHT))
    made.must(SetPin(by="op-1", operator="op-2"))


def test_a_clearance_replaces_the_one_before_for_the_same_assay() -> None:
    """By its id, whichever version of the file is adopted."""
    made = bench()
    for until in (UNTIL, date(2027, 12, 31)):
        (event,) = made.must(
            StateCompetence(
                by="op-1",
                operator="op-2",
                assay=NASAL.id,
                until=until,
                vision_checked=date(2026, 1, 2),
            )
        )
        assert isinstance(event, CompetenceStated)
        assert not event.own
    (cleared,) = made.board.roster.standing("key-op-2").cleared
    assert (cleared.until, cleared.vision_checked) == (date(2027, 12, 31), date(2026, 1, 2))


def test_nobody_is_cleared_for_what_is_not_adopted_nor_by_themselves_among_others() -> None:
    """Both would be worth nothing."""
    made = bench()
    other = StateCompetence(by="op-1", operator="op-2", assay="strep", until=UNTIL)
    assert made.refused(other).code is RefusalCode.NOT_ADOPTED
    own = StateCompetence(by="op-1", operator="op-1", assay=NASAL.id, until=UNTIL)
    assert made.refused(own).subject == OWN_CLEARANCE
    made.must(RetireOperator(by="op-1", operator="op-2"))
    (event,) = made.must(own)
    assert isinstance(event, CompetenceStated)
    assert event.own
    assert made.board.roster.own_clearances == ((at("0:00"), "key-op-1"),)


def test_opening_a_record_is_recorded_and_roles_bound_how_far_it_goes_back() -> None:
    """A tester sees the running shift, a supervisor the archive."""
    made = bench(roles=True)
    made.label(now="1:00")
    seen = OpenRecord(by="op-2", person="P-001", what=Opened.HISTORY, since=at("1:00"))
    (event,) = made.must(seen, "2:00")
    assert event == RecordOpened(
        at=at("2:00"), by="key-op-2", person="key-P-001", what=Opened.HISTORY, since=at("1:00")
    )
    old = OpenRecord(by="op-2", person="P-001", what=Opened.HISTORY, since=at("1:01"))
    assert made.refused(old).code is RefusalCode.ROLE_MISSING
    (event,) = made.must(OpenRecord(by="op-1", person="P-001", what=Opened.TRACE, since=at("1:01")))
    assert isinstance(event, RecordOpened)
    assert event.since is None


def test_while_a_shift_runs_its_beginning_counts_and_not_midnight() -> None:
    """A night shift sees its own evening."""
    made = bench(roles=True)
    made.label(now="1:00")
    seen = OpenRecord(by="op-2", person="P-001", what=Opened.HISTORY, since=at("1:01"))
    assert made.refused(seen, "2:00").code is RefusalCode.ROLE_MISSING
    made.board = fold(made.board, ShiftOpened(at=at("0:30"), by="key-op-1", number=1, checks=()))
    (event,) = made.must(seen, "2:00")
    assert isinstance(event, RecordOpened)
    assert event.since == at("0:30")


def test_a_person_without_a_cartridge_has_nothing_to_hide_and_a_stranger_no_record() -> None:
    """The first is waiting now; the second is nobody."""
    made = bench(roles=True)
    made.must(OpenRecord(by="op-2", person="P-002", what=Opened.HISTORY, since=at("9:00")))
    nobody = OpenRecord(by="op-2", person="P-9", what=Opened.HISTORY, since=at("9:00"))
    assert made.refused(nobody).code is RefusalCode.UNKNOWN_PERSON


def test_results_are_seen_as_far_back_as_roles_let_one() -> None:
    """Where nobody said who they are, the running shift alone; without roles, all of it."""
    made = bench()
    made.to_well()
    made.must(made.read_act(NEGATIVE), "18:00")
    assert len(results_seen(made.board, None, at("1:00"))) == 1
    made.must(GiveRoles(by="op-1", operator="op-2", roles=(Role.TESTER,)))
    for who, since, count in (
        ("op-1", "1:00", 1),
        ("op-2", "1:00", 0),
        ("op-2", "0:00", 1),
        (None, "1:00", 0),
    ):
        assert len(results_seen(made.board, who, at(since))) == count
    assert len(results_seen(made.board, "op-1", at("0:00"), "P-001")) == 1
    assert not results_seen(made.board, "op-1", at("0:00"), "P-002")


def test_the_record_cannot_speak_of_an_operator_it_never_introduced() -> None:
    """Then it is broken, and says so."""
    with pytest.raises(BrokenRecordError, match="never introduced"):
        fold(bench().board, SignedOut(at=at("0:00"), operator="key-op-9"))


def test_an_operator_whose_id_was_erased_retires_like_any_other() -> None:
    """Nothing is left to be looked up, and nothing breaks."""
    made = bench()
    made.board = fold(
        made.board,
        made.must(RegisterOperator(by="op-1", operator=private("op-3")))[0],
    )
    names = {**made.board.names, "key-op-3": None}
    from dataclasses import replace

    made.board = replace(made.board, names=names)
    made.must(RetireOperator(by="op-1", operator="op-3"))
    assert "key-op-3" not in made.board.roster.working


def test_every_act_that_needs_a_role_is_known_by_name() -> None:
    """A list of types that nobody can make would hold nothing up."""
    from readbell.core.board.acts import NAMES

    assert set(NEEDS) <= set(NAMES)
