"""What one act may say, in a scenario file or on a line of a bay without a screen."""

from __future__ import annotations

from datetime import date, datetime
from typing import Annotated, Any

from pydantic import AfterValidator, BeforeValidator, Field, StringConstraints, model_validator

from readbell.core.board.entry import SCRIPTED, Do, Entry
from readbell.core.cartridge.events import TakeBackReason
from readbell.core.instant import SECOND, Instant, Span
from readbell.core.reading.bands import Strength, Unreadable
from readbell.core.stock.events import LossReason, ReleaseReason
from readbell.toml_tables import Table, Time

LONGEST = 200
MOST_UNITS = 1_000_000
LONGEST_DOUBT_SECONDS = 86_400
MOST_INTERRUPTIONS = 500

_ON_CARTRIDGE = frozenset({"by", "do", "cartridge", "scanned", "person", "second"})
_ON_LOT = frozenset({"by", "do", "lot"})
_ALLOWED: dict[Do, frozenset[str]] = {
    Do.LABEL: _ON_CARTRIDGE | {"lot", "place", "sample", "witness"},
    Do.STEP: _ON_CARTRIDGE | {"step", "done_at", "give_or_take"},
    Do.TAKE_BACK: _ON_CARTRIDGE | {"step", "reason"},
    Do.LOOK: _ON_CARTRIDGE | {"control", "test", "unreadable"},
    Do.READ: _ON_CARTRIDGE | {"control", "test", "unreadable"},
    Do.VOID: _ON_CARTRIDGE | {"reason"},
    Do.STATE_APPLICATION: _ON_CARTRIDGE | {"witness", "done_at", "give_or_take"},
    Do.HOLD_LOT: _ON_LOT,
    Do.BEGIN_BOX: _ON_LOT,
    Do.TAKE_OUT: _ON_LOT,
    Do.PUT_BACK: _ON_LOT,
    Do.LOSE_UNITS: _ON_LOT | {"units", "reason", "words"},
    Do.COUNT_UNITS: _ON_LOT | {"counted"},
    Do.RECALL_LOT: _ON_LOT | {"words"},
    Do.RELEASE_LOT: _ON_LOT | {"reason", "words"},
    Do.CORRECT_LOT: _ON_LOT | {"expires", "past", "assay", "words"},
    Do.ANSWER: frozenset({"by", "do", "interruption", "words"}),
}
_NEEDED: dict[Do, tuple[str, ...]] = {
    Do.LABEL: ("cartridge", "person", "lot"),
    Do.STEP: ("cartridge", "step"),
    Do.TAKE_BACK: ("cartridge", "step", "reason"),
    Do.LOOK: ("cartridge",),
    Do.READ: ("cartridge",),
    Do.VOID: ("cartridge",),
    Do.STATE_APPLICATION: ("cartridge", "witness", "done_at"),
    Do.HOLD_LOT: ("lot",),
    Do.BEGIN_BOX: ("lot",),
    Do.TAKE_OUT: ("lot",),
    Do.PUT_BACK: ("lot",),
    Do.LOSE_UNITS: ("lot", "units", "reason"),
    Do.COUNT_UNITS: ("lot", "counted"),
    Do.RECALL_LOT: ("lot",),
    Do.RELEASE_LOT: ("lot", "reason"),
    Do.CORRECT_LOT: ("lot", "words"),
    Do.ANSWER: ("interruption", "words"),
}
_REASONS: dict[str, tuple[str, ...]] = {
    Do.TAKE_BACK: tuple(TakeBackReason),
    Do.LOSE_UNITS: tuple(LossReason),
    Do.RELEASE_LOT: tuple(ReleaseReason),
}
"""Where the reason is one of a closed list; of a void it may be somebody's own words."""


def as_day(written: object) -> date:
    """Return the day that a line writes as text.

    Raises:
        ValueError: it writes none, or one that does not exist.
    """
    if isinstance(written, date) and not isinstance(written, datetime):
        return written
    try:
        return date.fromisoformat(written if isinstance(written, str) else "")
    except ValueError:
        msg = 'write a day that exists, as "2026-12-31"'
        raise ValueError(msg) from None


Day = Annotated[date, BeforeValidator(as_day)]


def _as_name(found: str) -> str:
    """Refuse what nobody can see: two IDs that look alike must be alike."""
    if found != found.strip() or not found.isprintable():
        msg = "it has blanks at an end or signs that cannot be seen: scan or type it again"
        raise ValueError(msg)
    return found


Name = Annotated[str, StringConstraints(min_length=1, max_length=LONGEST), AfterValidator(_as_name)]


def _as_scripted(found: object) -> object:
    """Refuse what only a bay may be told, in the words used for what nobody knows."""
    if not isinstance(found, str) or found not in SCRIPTED:
        *words, last = [f"'{each}'" for each in Do if each in SCRIPTED]
        msg = f"use {', '.join(words)} or {last}"
        raise ValueError(msg)
    return found


Kind = Annotated[Do, Field(strict=False), BeforeValidator(_as_scripted)]
Seen = Annotated[Strength, Field(strict=False)]
Doubt = Annotated[float, Field(ge=0, le=LONGEST_DOUBT_SECONDS)]


class ActTable(Table):
    """One act; which keys go with which `do` is checked here too."""

    by: Name
    do: Kind
    cartridge: Name | None = None
    person: Name | None = None
    second: Name | None = None
    """What the person is known by beside the ID, as it was read back."""
    sample: Name | None = None
    """In place of a person: the number of a control material."""
    lot: Name | None = None
    step: Name | None = None
    scanned: Name | None = None
    control: bool | None = None
    test: Seen | dict[str, Seen] | None = None
    unreadable: Annotated[Unreadable, Field(strict=False)] | None = None
    reason: Name | None = None
    done_at: Time | None = None
    give_or_take: Doubt = 0.0
    witness: Name | None = None
    place: Name | None = None
    interruption: Annotated[int, Field(ge=1, le=MOST_INTERRUPTIONS)] | None = None
    words: Name | None = None
    units: Annotated[int, Field(ge=1, le=MOST_UNITS)] | None = None
    counted: Annotated[int, Field(ge=0, le=MOST_UNITS)] | None = None
    expires: Day | None = None
    past: bool = False
    assay: Name | None = None

    @model_validator(mode="before")
    @classmethod
    def _goes_together(cls, found: Any) -> Any:
        """Refuse keys that do not go with `do`, and miss those that must."""
        kind = found.get("do") if isinstance(found, dict) else None
        if not isinstance(kind, str) or kind not in SCRIPTED:
            return found  # the check of `do` itself says what is wrong
        if "sample" in found and "person" in found:
            msg = "a cartridge is run for a person or for a sample: take one of them out"
            raise ValueError(msg)
        missing = [
            key
            for key in _NEEDED[Do(kind)]
            if key not in found and not (key == "person" and "sample" in found)
        ]
        if missing:
            msg = f'do = "{kind}" needs {missing[0]}: add it'
            raise ValueError(msg)
        if kind == Do.CORRECT_LOT and "expires" not in found and "assay" not in found:
            msg = f'do = "{kind}" needs expires or assay: add what is right'
            raise ValueError(msg)
        reasons = _REASONS.get(kind, ())
        if reasons and found["reason"] not in reasons:
            *others, last = [f"'{each}'" for each in reasons]
            msg = f'that reason does not go with do = "{kind}": use {", ".join(others)} or {last}'
            raise ValueError(msg)
        misplaced = sorted((set(found) & set(cls._keys())) - _ALLOWED[Do(kind)])
        if misplaced:
            msg = f'{misplaced[0]} does not go with do = "{kind}": take it out'
            raise ValueError(msg)
        return found

    @classmethod
    def _keys(cls) -> frozenset[str]:
        """Return the keys that some act may have, leaving unknown ones to be refused as such."""
        return frozenset(ActTable.model_fields)

    def to_entry(self, done_at: Instant | None = None) -> Entry:
        """Return the act as an entry; `done_at` has already been placed in the bay's time."""
        return Entry(
            do=self.do,
            by=self.by,
            cartridge=self.cartridge or "",
            person=self.person if self.sample is None else self.sample,
            is_sample=self.sample is not None,
            second=self.second,
            lot=self.lot or "",
            step=self.step or "",
            scanned=self.scanned,
            control=self.control,
            test=tuple(self.test.items()) if isinstance(self.test, dict) else self.test,
            unreadable=self.unreadable,
            reason=self.reason,
            done_at=done_at,
            give_or_take=Span(round(self.give_or_take * SECOND)),
            witness=self.witness or "",
            place=self.place,
            interruption=self.interruption or 0,
            words=self.words or "",
            units=self.units or self.counted or 0,
            expires=self.expires,
            is_past=self.past,
            right_assay=self.assay,
        )
