"""Operators in a line each, and what of a person's record may be told."""

from __future__ import annotations

from datetime import UTC, date
from typing import TYPE_CHECKING

import pytest

from builders import FAINT, NASAL, NEGATIVE, Bench, at, private
from phrases.staff_kinds import STAFF_REFUSALS
from readbell.core.board.fold import fold
from readbell.core.policy.events import PolicySet
from readbell.core.policy.policy import SitePolicy
from readbell.core.policy.staffing import SignInBy
from readbell.core.refusal import Refusal, RefusalCode
from readbell.core.review.acts import WithdrawResult
from readbell.core.review.reasons import WithdrawReason
from readbell.core.staff.acts import (
    GiveRoles,
    OpenRecord,
    RetireOperator,
    SetPin,
    SignIn,
    StateCompetence,
)
from readbell.core.staff.events import Opened
from readbell.core.staff.roles import Role
from readbell.phrases.clock_time import ClockFace
from readbell.phrases.of_bay import tell
from readbell.phrases.staff_words import refused_staff, say_roles, say_standing

if TYPE_CHECKING:
    from phrases.conftest import Properly

FACE = ClockFace(zone=UTC)


def test_an_operators_line_says_roles_clearances_and_state() -> None:
    """All that a supervisor wants to know of them at once."""
    bench = Bench()
    bench.must(GiveRoles(by="op-1", operator="op-2", roles=(Role.TESTER,)))
    bench.must(
        StateCompetence(
            by="op-1",
            operator="op-2",
            assay=NASAL.id,
            until=date(2027, 1, 31),
            vision_checked=date(2026, 1, 2),
        )
    )
    bench.must(SignIn(by="op-2"))
    assert say_standing(bench.board, "key-op-2") == (
        "op-2; tester; respiratory-antigen-nasal to 2027-01-31, vision 2026-01-02; signed in"
    )
    assert say_roles(()) == "without a role"


def test_somebody_without_a_pin_locked_out_or_gone_is_marked_so() -> None:
    """By word, as everything."""
    bench = Bench()
    bench.must(SetPin(by="op-1", operator="op-1"))
    policy = SitePolicy(sign_in=SignInBy.PIN, pin_attempts=1)
    bench.board = fold(bench.board, PolicySet(at=at("0:00"), policy=policy))
    assert say_standing(bench.board, "key-op-2").endswith("; no PIN")
    from readbell.core.board.events import ActRefused

    wrong = ActRefused(
        at=at("0:00"),
        by="key-op-1",
        act="sign-in",
        code=RefusalCode.WRONG_PIN,
        cartridge=None,
        entered=None,
        bands=None,
    )
    bench.board = fold(bench.board, wrong)
    assert say_standing(bench.board, "key-op-1").endswith("; LOCKED OUT")
    gone = Bench()
    gone.must(RetireOperator(by="op-1", operator="op-2"))
    assert say_standing(gone.board, "key-op-2").endswith("; works here no more")


def test_an_opened_record_tells_each_cartridge_and_what_came_of_it() -> None:
    """Also what was taken back, and what runs."""
    bench = Bench()
    bench.to_well()
    bench.must(bench.read_act(NEGATIVE), "18:00")
    bench.label("C2", now="20:00")
    bench.to_well("C3")
    bench.must(bench.look_act(FAINT, "C3"), "6:00")
    bench.must(
        WithdrawResult(
            by="op-1", cartridge="C3", reason=WithdrawReason.ANOTHER_PERSON, words=private("x")
        ),
        "21:00",
    )
    bench.must(bench.label_act("C4"), "22:00")
    bench.must(bench.void_act("C4"), "22:01")
    (event,) = bench.must(
        OpenRecord(by="op-1", person="P-001", what=Opened.HISTORY, since=at("0:00")), "23:00"
    )
    told = tell(event, bench.board, FACE)
    assert told.startswith("op-1 opened the history of P-001; that is recorded. C1 2026-03-29")
    # C3 was seen positive at the same time, and C1 waits for a supervisor since.
    for words in ("- NEGATIVE, held; C2", "runs; C3", "void, WITHDRAWN; C4", "void."):
        assert words in told


@pytest.mark.parametrize("refusal", [each for _, each in STAFF_REFUSALS], ids=str)
def test_each_refusal_of_staff_is_whole_sentences(refusal: Refusal, properly: Properly) -> None:
    """What, why, and what to do now."""
    said = refused_staff(refusal, at("3:00"), FACE)
    if said is not None:
        assert properly(said) >= 1


def test_a_refusal_of_anything_else_is_not_theirs_to_tell() -> None:
    """Others have words for it; without an instant there is nothing to say of a wait."""
    for code in (RefusalCode.TOO_EARLY, RefusalCode.PIN_TOO_SOON):
        assert refused_staff(Refusal(code=code), at("3:00"), FACE) is None
