"""What may be said to a live bay about those who work there, and about what is held for review."""

from __future__ import annotations

from dataclasses import field
from datetime import date
from typing import TYPE_CHECKING, Annotated, Any, Literal

from pydantic import (
    BeforeValidator,
    Field,
    PlainValidator,
    StringConstraints,
    model_validator,
)

from readbell.core.board.entry import Do, Entry, bands_of
from readbell.core.made_later import dataclass
from readbell.core.reading.bands import Bands, Unreadable
from readbell.core.review.reasons import AmendReason, WithdrawReason
from readbell.core.staff.roles import Role
from readbell.scenarios.act_table import Name, Seen
from readbell.toml_tables import Table

if TYPE_CHECKING:
    from collections.abc import Mapping

    from readbell.core.assay.assay import Assay


MOST_ATTEMPTS = 20
"""On so many attempts a clearance may rest."""
TRACED = frozenset({"cartridge", "lot", "operator", "day", "figures"})
"""What a story may be of, beside a person."""


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


def _as_heads(written: object) -> object:
    if not isinstance(written, (list, tuple)) or len(written) > MOST_ATTEMPTS:
        msg = f"write a list of at most {MOST_ATTEMPTS} heads, 64 hex digits each"
        raise ValueError(msg)
    return tuple(written)


def _as_roles(written: object) -> object:
    if not isinstance(written, (list, tuple)) or not written:
        msg = 'write a list of roles, as ["tester", "reader"]'
        raise ValueError(msg)
    return tuple(written)


MOST_NAMED = 20
"""So many further cartridges, or people, one act may take along."""


def _as_several(written: object) -> object:
    if not isinstance(written, (list, tuple)) or len(written) > MOST_NAMED:
        msg = f'write a list of at most {MOST_NAMED}, as ["A", "B"]'
        raise ValueError(msg)
    return tuple(written)


Several = Annotated[tuple[Name, ...], BeforeValidator(_as_several)]
Pin = Annotated[Secret, PlainValidator(_as_secret)]
Day = Annotated[date, BeforeValidator(_as_day)]
Heads = Annotated[
    tuple[Annotated[str, StringConstraints(pattern=r"^[0-9a-f]{64}$")], ...],
    BeforeValidator(_as_heads),
]
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
    practised: Heads = ()
    """Heads of the journals of the attempts at rehearsals it rests on."""


class TraceLine(Table):
    """Look up the whole story of a cartridge, a lot, an operator or a day, or all the figures."""

    do: Literal["open-trace"]
    by: Name
    cartridge: Name | None = None
    lot: Name | None = None
    operator: Name | None = None
    day: Day | None = None
    figures: Literal[True] | None = None

    @model_validator(mode="before")
    @classmethod
    def _is_of_one(cls, found: Any) -> Any:
        if isinstance(found, dict) and len(found.keys() & TRACED) != 1:
            msg = "say cartridge, lot, operator, day or figures: one of them"
            raise ValueError(msg)
        return found


class RecordLine(Table):
    """Look up what is on record of a person."""

    do: Literal["open-record"]
    by: Name
    person: Name
    whole: bool = False
    """Whether their whole story is meant, and not what became of their cartridges alone."""


class ReleaseLine(Table):
    """Let a reading that is held for review stand."""

    do: Literal["release-reading"]
    by: Name
    cartridge: Name
    why: Name


class WithdrawLine(Table):
    """Take a result back, with all that was mixed up with it."""

    do: Literal["withdraw-result"]
    by: Name
    cartridge: Name
    reason: Annotated[WithdrawReason, Field(strict=False)]
    why: Name
    others: Several = ()
    """Labels of further cartridges concerned."""
    persons: Several = ()
    """IDs of people whose specimen it may have been, beside those they were run for."""


class AmendLine(Table):
    """Say anew what was on a strip that was read."""

    do: Literal["amend-result"]
    by: Name
    cartridge: Name
    control: bool | None = None
    test: Seen | dict[str, Seen] | None = None
    unreadable: Annotated[Unreadable, Field(strict=False)] | None = None
    reason: Annotated[AmendReason, Field(strict=False)]
    why: Name

    def to_bands(self, assay: Assay | None) -> Bands:
        """Return what was on it; what is left out stays unanswered."""
        test = tuple(self.test.items()) if isinstance(self.test, dict) else self.test
        entry = Entry(
            do=Do.READ, by=self.by, control=self.control, test=test, unreadable=self.unreadable
        )
        return bands_of(entry, assay, Bands())


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
    | TraceLine
    | ReleaseLine
    | WithdrawLine
    | AmendLine
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
    "open-trace": TraceLine,
    "release-reading": ReleaseLine,
    "withdraw-result": WithdrawLine,
    "amend-result": AmendLine,
}
