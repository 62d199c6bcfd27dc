"""Roles and clearances: who may do what, who says so, and who has left."""

from __future__ import annotations

from dataclasses import replace
from datetime import date
from typing import TYPE_CHECKING

import pytest

from builders import NASAL, at, private
from core.board.staff_bench import bench
from readbell.core.board.acts import NAMES, RegisterOperator
from readbell.core.board.allowed import NEEDS
from readbell.core.board.fold import fold
from readbell.core.board.staff import LAST_SUPERVISOR, NO_ROLE, OWN_CLEARANCE
from readbell.core.refusal import Refusal, RefusalCode
from readbell.core.staff.acts import (
    GiveRoles,
    OpenRecord,
    RetireOperator,
    SetPin,
    SignIn,
    SignOut,
    StateCompetence,
    UnlockOperator,
)
from readbell.core.staff.events import CompetenceStated, Opened, RolesGiven
from readbell.core.staff.roles import EVERY_ROLE, Role

if TYPE_CHECKING:
    from readbell.core.board.acts import Act

UNTIL = date(2026, 12, 31)


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


def test_an_operator_whose_id_was_erased_retires_like_any_other() -> None:
    """Nothing is left to be looked up, and nothing breaks."""
    made = bench()
    made.board = fold(
        made.board,
        made.must(RegisterOperator(by="op-1", operator=private("op-3")))[0],
    )
    names = {**made.board.names, "key-op-3": None}
    made.board = replace(made.board, names=names)
    made.must(RetireOperator(by="op-1", operator="op-3"))
    assert "key-op-3" not in made.board.roster.working


def test_every_act_that_needs_a_role_is_known_by_name() -> None:
    """A list of types that nobody can make would hold nothing up."""
    assert set(NEEDS) <= set(NAMES)
