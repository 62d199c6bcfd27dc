"""What is asked for about those who work here. Operators are named as they were entered."""

from __future__ import annotations

from dataclasses import field
from enum import StrEnum
from typing import TYPE_CHECKING

from readbell.core.made_later import dataclass

if TYPE_CHECKING:
    from datetime import date

    from readbell.core.instant import Instant
    from readbell.core.staff.events import Opened
    from readbell.core.staff.roles import Role


class PinCheck(StrEnum):
    """What became of a PIN before the act is judged; the PIN itself stays outside."""

    NOT_GIVEN = "not-given"
    RIGHT = "right"
    WRONG = "wrong"
    NONE_ON_FILE = "none-on-file"
    """One was given, and there is none to hold it against."""


@dataclass(frozen=True, slots=True, kw_only=True)
class GiveRoles:
    """Say what an operator may do from now on."""

    by: str = field(repr=False)
    operator: str = field(repr=False)
    roles: tuple[Role, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class RetireOperator:
    """Say that an operator works here no more."""

    by: str = field(repr=False)
    operator: str = field(repr=False)


@dataclass(frozen=True, slots=True, kw_only=True)
class SetPin:
    """Give an operator a new PIN; it is kept elsewhere."""

    by: str = field(repr=False)
    operator: str = field(repr=False)


@dataclass(frozen=True, slots=True, kw_only=True)
class SignIn:
    """Sign in at the station."""

    by: str = field(repr=False)
    pin: PinCheck = PinCheck.NOT_GIVEN


@dataclass(frozen=True, slots=True, kw_only=True)
class SignOut:
    """Sign out."""

    by: str = field(repr=False)


@dataclass(frozen=True, slots=True)
class LockStation:
    """Lock a station that nobody has touched for long; the program itself asks for it."""


@dataclass(frozen=True, slots=True, kw_only=True)
class UnlockOperator:
    """Give back the right to sign in after too many wrong PINs."""

    by: str = field(repr=False)
    operator: str = field(repr=False)


@dataclass(frozen=True, slots=True, kw_only=True)
class StateCompetence:
    """Say for which assay an operator is cleared, and until when."""

    by: str = field(repr=False)
    operator: str = field(repr=False)
    assay: str
    """The assay's id; it was adopted before."""
    until: date
    vision_checked: date | None = None
    practised: tuple[str, ...] = ()
    """Heads of the journals of the attempts it rests on, in hex."""


@dataclass(frozen=True, slots=True, kw_only=True)
class OpenRecord:
    """Look up what is on record of a person."""

    by: str = field(repr=False)
    person: str = field(repr=False)
    what: Opened
    since: Instant
    """Where the site's day began: what is older is the archive."""


StaffAct = (
    GiveRoles
    | RetireOperator
    | SetPin
    | SignIn
    | SignOut
    | LockStation
    | UnlockOperator
    | StateCompetence
    | OpenRecord
)
