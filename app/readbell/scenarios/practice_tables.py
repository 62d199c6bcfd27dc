"""What a scenario asks of whoever practises: its interruptions, and what is wrong with a device."""

from __future__ import annotations

from datetime import date, datetime
from typing import TYPE_CHECKING, Annotated, Any

from pydantic import BeforeValidator, Field, StringConstraints, field_validator, model_validator

from readbell.core.rehearsal.scenario import Flaw, FlawKind, Interruption, InterruptionKind
from readbell.scenarios.act_table import LONGEST, Name
from readbell.toml_tables import Table, Time

if TYPE_CHECKING:
    from collections.abc import Mapping

LONGEST_WORDS = 500
MOST_ANSWERS = 20

Words = Annotated[str, StringConstraints(min_length=1, max_length=LONGEST_WORDS)]


def _as_answers(written: object) -> object:
    found = (written,) if isinstance(written, str) else written
    if not isinstance(found, (list, tuple)) or not 0 < len(found) <= MOST_ANSWERS:
        msg = f"write an answer in quotes, or a list of 1 to {MOST_ANSWERS} that are right"
        raise ValueError(msg)
    return tuple(found)


def _as_names(written: object) -> object:
    if not isinstance(written, (list, tuple)) or not 0 < len(written) <= LONGEST:
        msg = f'write a list of 1 to {LONGEST} IDs, as ["P-001", "P-002"]'
        raise ValueError(msg)
    return tuple(written)


Answers = Annotated[tuple[Name, ...], BeforeValidator(_as_answers)]
Names = Annotated[tuple[Name, ...], BeforeValidator(_as_names)]

_OF_INTERRUPTION: Mapping[InterruptionKind, frozenset[str]] = {
    InterruptionKind.QUESTION: frozenset({"answer"}),
    InterruptionKind.CAR_LEAVES: frozenset({"persons"}),
    InterruptionKind.CALLED_AWAY: frozenset({"operator", "until"}),
    InterruptionKind.LID_CLOSED: frozenset({"until"}),
}
_OF_FLAW: Mapping[FlawKind, frozenset[str]] = {
    FlawKind.OUT_OF_DATE: frozenset({"expires"}),
    FlawKind.WRONG_ASSAY: frozenset({"assay"}),
    FlawKind.LABEL_SWAPPED: frozenset({"other"}),
}


def _hold_to(found: Any, kind: str, of_kind: Mapping[Any, frozenset[str]]) -> None:
    """Refuse keys that do not go with the kind, and miss those that must.

    Raises:
        ValueError: one is missing or misplaced.
    """
    needed = of_kind[kind]
    for key in sorted(needed):
        if key not in found:
            msg = f'kind = "{kind}" needs {key}: add it'
            raise ValueError(msg)
    for key in sorted(frozenset().union(*of_kind.values()) - needed):
        if key in found:
            msg = f'{key} does not go with kind = "{kind}": take it out'
            raise ValueError(msg)


class InterruptionTable(Table):
    """[[interruption]]: something that breaks into the work."""

    at: Time
    kind: Annotated[InterruptionKind, Field(strict=False)]
    says: Words
    answer: Answers = ()
    persons: Names = ()
    operator: Name | None = None
    until: Time | None = None

    @model_validator(mode="before")
    @classmethod
    def _goes_together(cls, found: Any) -> Any:
        kind = found.get("kind") if isinstance(found, dict) else None
        if isinstance(kind, str) and kind in InterruptionKind.__members__.values():
            _hold_to(found, kind, _OF_INTERRUPTION)
        return found  # the check of `kind` itself says what is wrong with another

    def to_interruption(self) -> Interruption:
        """Return what this table means."""
        return Interruption(
            at=self.at,
            kind=self.kind,
            says=self.says,
            answers=self.answer,
            persons=self.persons,
            operator=self.operator or "",
            until=self.until,
        )


class FlawTable(Table):
    """[[flaw]]: what is wrong with one device, and can be seen on it alone."""

    cartridge: Name
    kind: Annotated[FlawKind, Field(strict=False)]
    expires: date | None = None
    assay: Name | None = None
    other: Name | None = None

    @field_validator("expires", mode="before")
    @classmethod
    def _a_day(cls, found: object) -> object:
        if isinstance(found, datetime) or not isinstance(found, date):
            msg = "write a day as 2026-01-31, without quotes"
            raise ValueError(msg)  # noqa: TRY004  # pydantic turns this one into a fault
        return found

    @model_validator(mode="before")
    @classmethod
    def _goes_together(cls, found: Any) -> Any:
        kind = found.get("kind") if isinstance(found, dict) else None
        if isinstance(kind, str) and kind in FlawKind.__members__.values():
            _hold_to(found, kind, _OF_FLAW)
        return found

    def to_flaw(self) -> Flaw:
        """Return what this table means."""
        return Flaw(
            cartridge=self.cartridge,
            kind=self.kind,
            expires=self.expires,
            assay=self.assay or "",
            other=self.other or "",
        )
