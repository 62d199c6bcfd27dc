"""Signing in by badge or PIN, wrong PINs, and until when it holds."""

from __future__ import annotations

import pytest

from builders import Bench, at
from core.board.staff_bench import bench
from readbell.core.board.events import ActRefused, Ending, ProgramStarted, ProgramStopped
from readbell.core.board.fold import fold
from readbell.core.board.staff import NONE_SET, OWN_LOCK, attempts_that_lock
from readbell.core.errors import BrokenRecordError
from readbell.core.instant import Span
from readbell.core.policy.events import PolicySet
from readbell.core.policy.policy import SitePolicy
from readbell.core.policy.staffing import SignInBy
from readbell.core.refusal import Refusal, RefusalCode
from readbell.core.staff.acts import (
    LockStation,
    PinCheck,
    RetireOperator,
    SetPin,
    SignIn,
    SignOut,
    UnlockOperator,
)
from readbell.core.staff.events import Proof, SignedIn, SignedOut

PIN = SitePolicy(sign_in=SignInBy.PIN, pin_attempts=3)


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


def test_the_record_cannot_speak_of_an_operator_it_never_introduced() -> None:
    """Then it is broken, and says so."""
    with pytest.raises(BrokenRecordError, match="never introduced"):
        fold(bench().board, SignedOut(at=at("0:00"), operator="key-op-9"))
