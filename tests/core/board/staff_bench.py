"""A bench whose operators have roles."""

from __future__ import annotations

from typing import TYPE_CHECKING

from builders import Bench, at
from readbell.core.board.fold import fold
from readbell.core.policy.events import PolicySet
from readbell.core.staff.acts import GiveRoles
from readbell.core.staff.roles import Role

if TYPE_CHECKING:
    from readbell.core.policy.policy import SitePolicy


def bench(policy: SitePolicy | None = None, *, roles: bool = False) -> Bench:
    """A bench under `policy`; with `roles` op-2 is a tester and op-1 the supervisor."""
    made = Bench()
    if roles:
        made.must(GiveRoles(by="op-1", operator="op-2", roles=(Role.TESTER,)))
    if policy is not None:
        made.board = fold(made.board, PolicySet(at=at("0:00"), policy=policy))
    return made
