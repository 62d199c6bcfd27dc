"""Who works here, with which roles, and cleared for what until when."""

from __future__ import annotations

from datetime import date

import pytest

from readbell.core.staff.roles import EVERY_ROLE, WITHOUT_SAYING, Role
from readbell.core.staff.roster import NOBODY, Cleared, Roster, Standing

ASSAY = "respiratory-antigen-nasal"
UNTIL = date(2026, 3, 29)


def roster(*keys: str, has_roles: bool = False) -> Roster:
    """A roster of operators about whom nothing was said."""
    made = Roster(has_roles=has_roles)
    for key in keys:
        made = made.having(Standing(key=key))
    return made


def test_everybody_may_everything_where_roles_were_never_given() -> None:
    """A bay that wants no roles works as one without them."""
    assert roster("a", "b").roles_of("b") == EVERY_ROLE


def test_once_roles_are_given_the_first_operator_has_all_and_the_others_are_no_supervisors() -> (
    None
):
    """Somebody must be able to go on giving them, and not everybody."""
    made = roster("a", "b", has_roles=True)

    assert made.roles_of("a") == EVERY_ROLE
    assert made.roles_of("b") == WITHOUT_SAYING
    assert made.supervisors() == ("a",)


def test_what_was_said_counts() -> None:
    """For the first one, too."""
    made = roster("a", has_roles=True).having(Standing(key="a", roles=(Role.READER,)))

    assert made.has_role("a", Role.READER)
    assert not made.has_role("a", Role.TESTER)


def test_one_who_works_alone_is_known_as_such() -> None:
    """Whoever left does not count."""
    made = roster("a", "b")
    assert not made.is_single
    alone = made.having(Standing(key="b", is_retired=True))
    assert alone.is_single
    assert alone.working == ("a",)
    assert not NOBODY.is_single


def test_signing_all_out_leaves_a_roster_where_nobody_was_in_as_it_is() -> None:
    """No value is made anew for nothing."""
    made = roster("a", "b")
    assert made.signing_out_all() is made
    signed = made.having(Standing(key="b", is_signed_in=True))
    assert signed.signed_in == ("b",)
    assert signed.signing_out_all() == made


@pytest.mark.parametrize(
    ("today", "is_cleared"),
    [
        pytest.param(date(2026, 3, 28), True, id="the day before"),
        pytest.param(UNTIL, True, id="the last day itself"),
        pytest.param(date(2026, 3, 30), False, id="the day after"),
    ],
)
def test_a_clearance_is_good_through_its_last_day(today: date, is_cleared: bool) -> None:
    """As an expiry date is (common practice)."""
    cleared = Standing(key="a", cleared=(Cleared(assay=ASSAY, until=UNTIL),))
    made = NOBODY.having(cleared)

    assert made.is_cleared("a", ASSAY, today) is is_cleared
    assert not made.is_cleared("a", "another-assay", today)
    assert not made.is_cleared("b", ASSAY, today)
