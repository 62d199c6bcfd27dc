"""One line given to a bay without a screen: a JSON object that asks for one thing."""

from __future__ import annotations

import json
from datetime import date
from typing import TYPE_CHECKING, Annotated, Any, ClassVar, Literal

from pydantic import BeforeValidator, Field, ValidationError

from readbell.core.board.entry import Do, Entry
from readbell.core.board.events import MuteReason
from readbell.core.cartridge.events import SlipReason
from readbell.core.instant import SECOND, Span
from readbell.core.made_later import dataclass
from readbell.core.reading.bands import Unreadable
from readbell.scenarios.act_table import ActTable, Doubt, Name, Seen
from readbell.scenarios.climate_lines import TemperatureLine
from readbell.scenarios.paper_lines import PaperRunLine
from readbell.scenarios.patient_lines import PATIENT_LINES, PatientLine, PersonLine
from readbell.scenarios.plan_lines import NextStartLine
from readbell.scenarios.plan_loading import DropPlanLine, LoadPlanLine, StartsLine
from readbell.scenarios.sample_lines import SAMPLE_LINES, SampleLine
from readbell.scenarios.shift_lines import SHIFT_LINES, ShiftLine
from readbell.scenarios.staff_lines import ON_STAFF, HeldLine, StaffLine, UnverifiedLine
from readbell.scenarios.station_lines import STATION_LINES, StationLine, StationsLine
from readbell.scenarios.stock_lines import STOCK_LINES, StockLine
from readbell.scenarios.telling_lines import TELLING_LINES, TellLine, ToTellLine
from readbell.toml_tables import Table, Time, WrongFileError, as_span, faults_of

if TYPE_CHECKING:
    from collections.abc import Mapping

SOURCE = "this line"
MOST_NAMES = 100


def _as_day(written: object) -> date:
    if isinstance(written, date):
        return written
    try:
        return date.fromisoformat(written if isinstance(written, str) else "")
    except ValueError:
        msg = 'write a day that exists, as "2026-12-31"'
        raise ValueError(msg) from None


def _as_list(written: object) -> object:
    if not isinstance(written, (list, tuple)) or not 0 < len(written) <= MOST_NAMES:
        msg = f'write a list of 1 to {MOST_NAMES}, as ["A", "B"]'
        raise ValueError(msg)
    return tuple(written)


Names = Annotated[tuple[Name, ...], BeforeValidator(_as_list)]


class OperatorLine(Table):
    """Register an operator; the first needs nobody to vouch."""

    do: Literal["register-operator"]
    id: Name
    by: Name | None = None


class AdoptionLine(Table):
    """Adopt an assay that was checked against the kit's instructions for use."""

    do: Literal["adopt-assay"]
    assay: Name
    instructions: Name
    by: Name


class LotLine(Table):
    """Receive a lot."""

    do: Literal["receive-lot"]
    number: Name
    assay: Name
    expires: Annotated[date, BeforeValidator(_as_day)]
    units: Annotated[int, Field(ge=0)] | None = None
    by: Name


class PartyLine(Table):
    """Register people who come together, in the order in which they are to be tested."""

    do: Literal["register-party"]
    id: Name
    """What the site calls them."""
    persons: Names
    lane: Name | None = None
    note: Name | None = None
    by: Name


class OpenLotLine(Table):
    """Open a box of a lot at the bench."""

    do: Literal["open-lot"]
    lot: Name
    by: Name

    def to_entry(self) -> Entry:
        """Return the act as an entry."""
        return Entry(do=Do.OPEN_LOT, by=self.by, lot=self.lot)


class StepsLine(Table):
    """Confirm several steps in a row together."""

    do: Literal["steps"]
    by: Name
    cartridge: Name
    steps: Names
    scanned: Name | None = None
    person: Name | None = None
    ago: Time | None = None
    give_or_take: Doubt = 0.0

    def to_line(self) -> EntryLine:
        """Return the act as an entry, and how long since it was done."""
        entry = Entry(
            do=Do.STEPS,
            by=self.by,
            cartridge=self.cartridge,
            steps=self.steps,
            scanned=self.scanned,
            person=self.person,
            give_or_take=Span(round(self.give_or_take * SECOND)),
        )
        return EntryLine(entry=entry, ago=self.ago)


class CorrectionLine(Table):
    """Mend a slip of one's own keys in a reading."""

    do: Literal["correct-reading"]
    by: Name
    cartridge: Name
    reason: Annotated[SlipReason, Field(strict=False)]
    control: bool | None = None
    test: Seen | dict[str, Seen] | None = None
    unreadable: Annotated[Unreadable, Field(strict=False)] | None = None
    scanned: Name | None = None
    person: Name | None = None
    second: Name | None = None

    def to_line(self) -> EntryLine:
        """Return the act as an entry."""
        entry = Entry(
            do=Do.CORRECT,
            by=self.by,
            cartridge=self.cartridge,
            slip=self.reason,
            control=self.control,
            test=tuple(self.test.items()) if isinstance(self.test, dict) else self.test,
            unreadable=self.unreadable,
            scanned=self.scanned,
            person=self.person,
            second=self.second,
        )
        return EntryLine(entry=entry, ago=None)


class HearLine(Table):
    """Say that the sound of one cartridge was heard; where people sign in, by whom may be left out."""

    do: Literal["hear-alert"]
    by: Name | None = None
    cartridge: Name


class MuteLine(Table):
    """Let nothing sound for a while, for a reason."""

    do: Literal["mute"]
    by: Name
    reason: Annotated[MuteReason, Field(strict=False)]
    lasts: Annotated[Time, Field(alias="for")]


class UnmuteLine(Table):
    """Give the sound back before its mute times out."""

    do: Literal["unmute"]
    by: Name


class TestAlarmLine(Table):
    """Sound the alarm as a test, or say whether it was heard."""

    __test__: ClassVar[bool] = False  # its name does not make it a test of the program

    do: Literal["test-alarm"]
    by: Name
    heard: bool | None = None
    """Left out: sound it now."""


SoundLine = HearLine | MuteLine | UnmuteLine | TestAlarmLine


class BoardLine(Table):
    """Say where every running cartridge stands."""

    do: Literal["board"]


@dataclass(frozen=True, slots=True, kw_only=True)
class EntryLine:
    """An act on a cartridge or a lot; `ago` says how long since it was done."""

    entry: Entry
    ago: Span | None


Request = (
    OperatorLine
    | PersonLine
    | PartyLine
    | AdoptionLine
    | LotLine
    | OpenLotLine
    | TemperatureLine
    | StartsLine
    | SoundLine
    | StaffLine
    | StockLine
    | SampleLine
    | PatientLine
    | PaperRunLine
    | ShiftLine
    | TellLine
    | StationLine
    | EntryLine
)
Question = BoardLine | HeldLine | NextStartLine | ToTellLine | StationsLine
"""What only asks, and changes nothing."""
Line = Request | Question

_ON_SOUND: Mapping[str, type[SoundLine]] = {
    "hear-alert": HearLine,
    "mute": MuteLine,
    "unmute": UnmuteLine,
    "test-alarm": TestAlarmLine,
}

_ON_STOCK: Mapping[str, type[StockLine | SampleLine | PatientLine | PaperRunLine]] = {
    **STOCK_LINES,
    **SAMPLE_LINES,
    **PATIENT_LINES,
    "enter-paper": PaperRunLine,
}

_BY_BAY_ALONE: Mapping[str, type[StepsLine | CorrectionLine]] = {
    "steps": StepsLine,
    "correct-reading": CorrectionLine,
}
"""Acts on a cartridge that no scenario may make."""
_REGISTERS: Mapping[
    str,
    type[
        OperatorLine
        | PersonLine
        | PartyLine
        | AdoptionLine
        | LotLine
        | OpenLotLine
        | TemperatureLine
        | StartsLine
        | BoardLine
        | HeldLine
        | NextStartLine
    ],
] = {
    "register-operator": OperatorLine,
    "register-person": PersonLine,
    "register-party": PartyLine,
    "adopt-assay": AdoptionLine,
    "receive-lot": LotLine,
    "open-lot": OpenLotLine,
    "note-temperature": TemperatureLine,
    "board": BoardLine,
    "held": HeldLine,
    "next-start": NextStartLine,
    "load-plan": LoadPlanLine,
    "drop-plan": DropPlanLine,
}


def read_line(text: str) -> Line:
    """Return what `text` asks for.

    A byte that was no text (it comes as a lone surrogate) is refused, never
    replaced: two IDs would become one.

    Raises:
        WrongFileError: it is no UTF-8, no JSON object, or a key or value is wrong.
    """
    try:
        text.encode()
    except UnicodeEncodeError:
        raise WrongFileError([f"{SOURCE}: this is not UTF-8 text: scan or type it again"]) from None
    try:
        found: Any = json.loads(text)
    except (ValueError, RecursionError):
        raise WrongFileError([f"{SOURCE}: this is not JSON: write one object a line"]) from None
    if not isinstance(found, dict):
        raise WrongFileError([f'{SOURCE}: write one JSON object, as in {{"do": "board"}}'])
    try:
        kind = _REGISTERS.get(str(found.get("do")))
        if kind is not None:
            return kind.model_validate(found)
        sound = _ON_SOUND.get(str(found.get("do")))
        if sound is not None:
            return sound.model_validate(found)
        stock = _ON_STOCK.get(str(found.get("do")))
        if stock is not None:
            return stock.model_validate(found)
        telling = TELLING_LINES.get(str(found.get("do")))
        if telling is not None:
            return telling.model_validate(found)
        station = STATION_LINES.get(str(found.get("do")))
        if station is not None:
            return station.model_validate(found)
        shift = SHIFT_LINES.get(str(found.get("do")))
        if shift is not None:
            return shift.model_validate(found)
        staff = ON_STAFF.get(str(found.get("do")))
        if staff is not None:
            return staff.model_validate(found)
        if found.get("do") == "read" and "unverified" in found:
            return EntryLine(entry=UnverifiedLine.model_validate(found).to_entry(), ago=None)
        act = _BY_BAY_ALONE.get(str(found.get("do")))
        if act is not None:
            return act.model_validate(found).to_line()
        return _entry(found)
    except ValidationError as error:
        # The table is a scenario's, which counts from its start; a line counts back from now.
        faults = [fault.replace("done_at", "ago") for fault in faults_of(SOURCE, error)]
        raise WrongFileError(faults) from None


def _entry(found: dict[str, Any]) -> EntryLine:
    if "done_at" in found:
        raise WrongFileError([f'{SOURCE}: done_at is for scenarios: write "ago": "2:00" instead'])
    ago = found.pop("ago", None)
    if ago is not None:
        # The rules about which key goes where are the same; only the point it counts from differs.
        found["done_at"] = ago
    table = ActTable.model_validate(found)
    return EntryLine(entry=table.to_entry(), ago=None if ago is None else as_span(ago))
