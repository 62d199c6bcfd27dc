"""What may be said to a live bay about those who work there, and about what is held for review."""

from __future__ import annotations

from dataclasses import dataclass, field
from datetime import date
from typing import TYPE_CHECKING, Annotated, Literal

from pydantic import BeforeValidator, Field, PlainValidator

from readbell.core.board.entry import Do, Entry
from readbell.core.reading.bands import Unreadable
from readbell.core.review.reasons import WithdrawReason
from readbell.core.staff.roles import Role
from readbell.scenarios.act_table import Name, Seen
from readbell.toml_tables import Table

if TYPE_CHECKING:
    from collections.abc import Mapping


@dataclass(frozen=True, slots=True)
class Secret:
    """A PIN on its way to being held against its hash; no fault and no `repr` shows it."""

    value: str = field(repr=False)


def _as_secret(written: object) -> Secret:
    if isinstance(written, Secret):
        return written
    # Whatever it is, it is taken: a fault would quote it. Whoever looks at it says what is wrong.
    return Secret(written if isinstance(written, str) else "")


def _as_day(written: object) -> date:
    if isinstance(written, date):
        return written
    try:
        return date.fromisoformat(written if isinstance(written, str) else "")
    except ValueError:
        msg = 'write a day that exists, as "2026-12-31"'
        raise ValueError(msg) from None


def _as_roles(written: object) -> object:
    if not isinstance(written, (list, tuple)) or not written:
        msg = 'write a list of roles, as ["tester", "reader"]'
        raise ValueError(msg)
    return tuple(written)


Pin = Annotated[Secret, PlainValidator(_as_secret)]
Day = Annotated[date, BeforeValidator(_as_day)]
Roles = Annotated[tuple[Annotated[Role, Field(strict=False)], ...], BeforeValidator(_as_roles)]


class RolesLine(Table):
    """Say what an operator may do from now on."""

    do: Literal["set-roles"]
    by: Name
    operator: Name
    roles: Roles


class RetireLine(Table):
    """Say that an operator works here no more."""

    do: Literal["retire-operator"]
    by: Name
    operator: Name


class PinLine(Table):
    """Give an operator a new PIN."""

    do: Literal["set-pin"]
    by: Name
    operator: Name
    pin: Pin


class SignInLine(Table):
    """Sign in."""

    do: Literal["sign-in"]
    by: Name
    pin: Pin | None = None


class SignOutLine(Table):
    """Sign out."""

    do: Literal["sign-out"]
    by: Name


class LockLine(Table):
    """Lock the station: everybody there has to sign in again."""

    do: Literal["lock-station"]


class UnlockLine(Table):
    """Give back the right to sign in after too many wrong PINs."""

    do: Literal["unlock-operator"]
    by: Name
    operator: Name


class CompetenceLine(Table):
    """Say for which assay an operator is cleared, and until when."""

    do: Literal["state-competence"]
    by: Name
    operator: Name
    assay: Name
    until: Day
    vision_checked: Day | None = None


class RecordLine(Table):
    """Look up what is on record of a person."""

    do: Literal["open-record"]
    by: Name
    person: Name


class ReleaseLine(Table):
    """Let a reading that is held for review stand."""

    do: Literal["release-reading"]
    by: Name
    cartridge: Name
    why: Name


class WithdrawLine(Table):
    """Take a result back."""

    do: Literal["withdraw-result"]
    by: Name
    cartridge: Name
    reason: Annotated[WithdrawReason, Field(strict=False)]
    why: Name


StaffLine = (
    RolesLine
    | RetireLine
    | PinLine
    | SignInLine
    | SignOutLine
    | LockLine
    | UnlockLine
    | CompetenceLine
    | RecordLine
    | ReleaseLine
    | WithdrawLine
)


class HeldLine(Table):
    """Say what is held for review."""

    do: Literal["held"]


class UnverifiedLine(Table):
    """Read a strip under a typed name."""

    do: Literal["read"]
    cartridge: Name
    unverified: Name
    """The name."""
    control: bool | None = None
    test: Seen | dict[str, Seen] | None = None
    unreadable: Annotated[Unreadable, Field(strict=False)] | None = None
    scanned: Name | None = None
    person: Name | None = None
    second: Name | None = None

    def to_entry(self) -> Entry:
        """Return the act as an entry; it names no operator."""
        return Entry(
            do=Do.READ,
            by="",
            cartridge=self.cartridge,
            control=self.control,
            test=tuple(self.test.items()) if isinstance(self.test, dict) else self.test,
            unreadable=self.unreadable,
            scanned=self.scanned,
            person=self.person,
            second=self.second,
            unverified=self.unverified,
        )


ON_STAFF: Mapping[str, type[StaffLine]] = {
    "set-roles": RolesLine,
    "retire-operator": RetireLine,
    "set-pin": PinLine,
    "sign-in": SignInLine,
    "sign-out": SignOutLine,
    "lock-station": LockLine,
    "unlock-operator": UnlockLine,
    "state-competence": CompetenceLine,
    "open-record": RecordLine,
    "release-reading": ReleaseLine,
    "withdraw-result": WithdrawLine,
}
