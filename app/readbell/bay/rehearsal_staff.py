"""How a rehearsal sets up those who work in it: they sign in, are cleared, and have their roles."""

from __future__ import annotations

from typing import TYPE_CHECKING

from readbell.core.policy.staffing import SignInBy
from readbell.core.staff.acts import GiveRoles, PinCheck, SetPin, SignIn, StateCompetence
from readbell.core.staff.roles import Role

if TYPE_CHECKING:
    from collections.abc import Iterator

    from readbell.core.board.acts import Act
    from readbell.core.rehearsal.scenario import Scenario


def staff_acts(scenario: Scenario) -> Iterator[Act]:
    """Yield what makes the operators of `scenario` ready, after they were registered.

    Nothing where the scenario says nothing of them and asks nobody to sign in.
    """
    first = next(iter(scenario.operators), "")
    if scenario.policy.sign_in is not SignInBy.NONE:
        for operator in scenario.operators:
            if scenario.policy.sign_in is SignInBy.PIN:
                yield SetPin(by=first, operator=operator)
            yield SignIn(by=operator, pin=PinCheck.RIGHT)
    for each in scenario.staff:
        others = [name for name in scenario.operators if name != each.operator]
        for assay, until in each.cleared:
            # Nobody clears themselves where others work.
            by = next(iter(others), each.operator)
            yield StateCompetence(by=by, operator=each.operator, assay=assay, until=until)
    given = [each for each in scenario.staff if each.roles is not None]
    # Who gives them stays a supervisor to the end; some supervisor there always is.
    for each in sorted(
        given, key=lambda each: (each.operator == first, Role.SUPERVISOR not in (each.roles or ()))
    ):
        yield GiveRoles(by=first, operator=each.operator, roles=each.roles or ())
