"""Who works here, and how each of them stands."""

from __future__ import annotations

from dataclasses import field, replace
from typing import TYPE_CHECKING

from readbell.core.made_later import dataclass
from readbell.core.staff.roles import EVERY_ROLE, WITHOUT_SAYING, Role

if TYPE_CHECKING:
    from collections.abc import Mapping
    from datetime import date

    from readbell.core.instant import Instant


@dataclass(frozen=True, slots=True, kw_only=True)
class Cleared:
    """For which assay somebody is cleared, and until when."""

    assay: str
    """The assay's id."""
    until: date
    """The last day on which it holds."""
    vision_checked: date | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class Standing:
    """How one operator stands."""

    key: str
    roles: tuple[Role, ...] | None = None
    """None: nobody has said."""
    is_retired: bool = False
    is_signed_in: bool = False
    has_pin: bool = False
    wrong_pins: int = 0
    """How many wrong PINs came one after another."""
    last_wrong: Instant | None = None
    cleared: tuple[Cleared, ...] = ()
    """One for each assay."""

    def cleared_for(self, assay: str) -> Cleared | None:
        """Return what was said last about `assay`, in force or not."""
        return next((each for each in self.cleared if each.assay == assay), None)


@dataclass(frozen=True, slots=True, kw_only=True)
class Roster:
    """Everybody who works or has worked here."""

    standings: Mapping[str, Standing] = field(default_factory=dict)
    """By key, in the order of registration."""
    has_roles: bool = False
    """Whether roles were ever given here; until then everybody may do everything."""
    own_clearances: tuple[tuple[Instant, str], ...] = ()
    """When somebody who works alone cleared themselves, and their key: own reviews."""

    def standing(self, key: str) -> Standing:
        """Return how the operator `key` stands; of one nobody has heard of, nothing."""
        return self.standings.get(key) or Standing(key=key)

    @property
    def working(self) -> tuple[str, ...]:
        """The keys of those who work here now."""
        return tuple(key for key, each in self.standings.items() if not each.is_retired)

    @property
    def signed_in(self) -> tuple[str, ...]:
        """The keys of those who are signed in."""
        return tuple(key for key, each in self.standings.items() if each.is_signed_in)

    @property
    def is_single(self) -> bool:
        """Whether one person works here alone and reviews what they did themselves."""
        return len(self.working) == 1

    def roles_of(self, key: str) -> tuple[Role, ...]:
        """Return what the operator `key` may do."""
        standing = self.standing(key)
        if not self.has_roles:
            return EVERY_ROLE
        if standing.roles is not None:
            return standing.roles
        return EVERY_ROLE if key == next(iter(self.standings), None) else WITHOUT_SAYING

    def has_role(self, key: str, role: Role) -> bool:
        """Say whether the operator `key` may do what `role` may."""
        return role in self.roles_of(key)

    def supervisors(self) -> tuple[str, ...]:
        """Return the keys of those who work here as supervisors."""
        return tuple(key for key in self.working if self.has_role(key, Role.SUPERVISOR))

    def is_cleared(self, key: str, assay: str, today: date) -> bool:
        """Say whether the operator `key` is cleared for the assay on the site's day `today`."""
        cleared = self.standing(key).cleared_for(assay)
        # Good through the end of its day, as a lot is.
        return cleared is not None and today <= cleared.until

    def having(self, standing: Standing) -> Roster:
        """Return the roster in which one operator stands as `standing` says."""
        return replace(self, standings={**self.standings, standing.key: standing})

    def signing_out_all(self) -> Roster:
        """Return the roster in which nobody is signed in."""
        if not self.signed_in:
            return self
        gone = {key: replace(each, is_signed_in=False) for key, each in self.standings.items()}
        return replace(self, standings=gone)


NOBODY = Roster()
"""The roster before anybody is registered."""
