"""What a scenario file may say, key by key and as a whole."""

from __future__ import annotations

from datetime import UTC, date, datetime
from typing import TYPE_CHECKING, Annotated, Any

from pydantic import AwareDatetime, BeforeValidator, Field, PlainValidator, field_validator

from readbell.core.controls.material import SampleKind
from readbell.core.instant import MINUTE, Span
from readbell.core.reading.bands import Unreadable
from readbell.core.reading.interpretation import Outcome
from readbell.core.rehearsal.scenario import (
    Difficulty,
    InterruptionKind,
    Nap,
    Scenario,
    ScriptedAct,
    ScriptedConsent,
    ScriptedLot,
    ScriptedPerson,
    ScriptedSample,
    ScriptedStaff,
)
from readbell.core.rehearsal.virtual_cartridge import (
    USUAL_CONTROL_FROM,
    Comes,
    Shade,
    Shows,
    Spoilt,
)
from readbell.core.stock.events import Storage
from readbell.policy_table import PolicyTable
from readbell.scenarios.act_table import MOST_INTERRUPTIONS, MOST_UNITS, ActTable, Day, Name
from readbell.scenarios.patient_lines import ConsentTable, KnownBy
from readbell.scenarios.practice_tables import FlawTable, InterruptionTable, Words
from readbell.scenarios.sample_lines import Expected, Kind, expected_lines
from readbell.scenarios.staff_lines import Roles
from readbell.scenarios.stock_lines import Days
from readbell.scenarios.whole_faults import whole_faults
from readbell.toml_tables import Table, Time, WrongFileError, as_span, read_tables

if TYPE_CHECKING:
    from collections.abc import Iterator

NEVER = "never"
USUAL_TEST_FROM = Span(5 * MINUTE)
"""When the line of a positive control sample comes where a scenario says nothing."""
FIRST_YEAR, LAST_YEAR = 1900, 9900


def _as_appearance(written: object) -> Span | None:
    return None if written == NEVER else as_span(written)


Appearance = Annotated[Span | None, PlainValidator(_as_appearance)]


class LineTable(Table):
    """When one test line comes, and how strong."""

    start: Time = Field(alias="from")
    strength: Annotated[Shade, Field(strict=False)] = Shade.CLEAR


def _as_line(written: object) -> object:
    if written != NEVER and not isinstance(written, dict):
        msg = 'write "never", or { from = "6:30", strength = "faint" }'
        raise ValueError(msg)
    return None if written == NEVER else written


Line = Annotated[LineTable | None, BeforeValidator(_as_line)]
ONLY = ""
"""Stands for the only line of a device, which needs no name."""


class SpoiltTable(Table):
    """From when on a strip cannot be read, and why."""

    start: Time = Field(default=Span(0), alias="from")
    reason: Annotated[Unreadable, Field(strict=False)]


def _as_spoilt(written: object) -> object:
    return {"reason": written} if isinstance(written, str) else written


class BandsTable(Table):
    """[person.bands]: what the virtual cartridge shows after the application."""

    control: Appearance = USUAL_CONTROL_FROM
    test: dict[str, Line] = Field(default_factory=dict)
    unreadable: Annotated[SpoiltTable | None, BeforeValidator(_as_spoilt)] = None

    @field_validator("test", mode="before")
    @classmethod
    def _by_name(cls, found: Any) -> Any:
        """Put the only line of a device among named ones, where all are checked alike."""
        if isinstance(found, dict) and not found.keys() & {"from", "strength"}:
            return found
        return {ONLY: found}

    def to_shows(self) -> Shows:
        """Return what these bands mean."""
        return Shows(
            control_from=self.control,
            tests=tuple(
                Comes(line=name, start=line.start, strength=line.strength)
                for name, line in self.test.items()
                if line is not None
            ),
            spoilt=(
                None
                if self.unreadable is None
                else Spoilt(start=self.unreadable.start, reason=self.unreadable.reason)
            ),
        )


class PersonTable(KnownBy):
    """[[person]]: somebody who comes to be tested, with what is known of them."""

    id: Name
    arrives: Time = Span(0)
    consent: ConsentTable | None = None
    bands: BandsTable = BandsTable()

    def to_consent(self) -> ScriptedConsent | None:
        """Return what the person consents to, if anything is said of that."""
        if self.consent is None:
            return None
        return ScriptedConsent(
            giver=self.consent.giver,
            how=self.consent.how,
            told_to=self.consent.told_to,
            assays=self.consent.assays,
        )


class CartridgeTable(Table):
    """[[cartridge]]: a device that shows something of its own."""

    id: Name
    bands: BandsTable


class OperatorTable(Table):
    """[[operator]]: somebody who acts."""

    id: Name
    roles: Roles | None = None
    cleared: dict[str, Day] = Field(default_factory=dict)
    """By the assay's id: to the end of which day."""

    def to_staff(self) -> Iterator[ScriptedStaff]:
        """Yield what is said beside the id, if anything is."""
        if self.roles is not None or self.cleared:
            yield ScriptedStaff(
                operator=self.id, roles=self.roles, cleared=tuple(self.cleared.items())
            )


class LotTable(Table):
    """[[lot]]: a box of kits."""

    number: Name
    expires: date
    units: Annotated[int, Field(ge=0, le=MOST_UNITS)] | None = None
    assay: Name | None = None
    storage: Annotated[Storage, Field(strict=False)] | None = None
    buffer: Name | None = None
    good_days: Days | None = None

    @field_validator("expires", mode="before")
    @classmethod
    def _a_day(cls, found: object) -> object:
        """Take a day, not an instant: a lot is good through the end of its day."""
        if isinstance(found, datetime) or not isinstance(found, date):
            msg = "write a day as 2026-12-31, without quotes"
            raise ValueError(msg)  # noqa: TRY004  # pydantic turns this one into a fault
        return found


class ControlTable(Table):
    """[[control]]: a control material, and what a device shows that is given a sample of it."""

    number: Name
    kind: Kind
    expires: Day
    assay: Name | None = None
    expected: dict[str, Expected] = Field(default_factory=dict)
    bands: BandsTable | None = None

    def to_shows(self) -> Shows:
        """Return what a device shows; where nothing is said, what it has to."""
        if self.bands is not None:
            return self.bands.to_shows()
        positive = [line for line, each in self.expected.items() if each is Outcome.POSITIVE]
        if not self.expected and self.kind is SampleKind.POSITIVE:
            positive = [ONLY]
        comes = tuple(
            Comes(line=line, start=USUAL_TEST_FROM, strength=Shade.CLEAR) for line in positive
        )
        return Shows(control_from=USUAL_CONTROL_FROM, tests=comes)


class NapTable(Table):
    """[[lid]]: the computer sleeps between these two times."""

    shut: Time
    open: Time


class TimedActTable(ActTable):
    """[[act]]: an act, and when it is made."""

    at: Time


class ScenarioTables(Table):
    """A whole scenario file."""

    title: Name
    starts: AwareDatetime
    timezone: Name = "UTC"
    assay: Name
    operator: tuple[OperatorTable, ...] = Field(default=(), strict=False)
    lot: tuple[LotTable, ...] = Field(default=(), strict=False)
    person: tuple[PersonTable, ...] = Field(default=(), strict=False)
    cartridge: tuple[CartridgeTable, ...] = Field(default=(), strict=False)
    control: tuple[ControlTable, ...] = Field(default=(), strict=False)
    lid: tuple[NapTable, ...] = Field(default=(), strict=False)
    act: tuple[TimedActTable, ...] = Field(default=(), strict=False)
    policy: PolicyTable = PolicyTable()
    goal: Words = ""
    teaching: Words = ""
    difficulty: Annotated[Difficulty, Field(strict=False)] | None = None
    interruption: tuple[InterruptionTable, ...] = Field(
        default=(), strict=False, max_length=MOST_INTERRUPTIONS
    )
    flaw: tuple[FlawTable, ...] = Field(default=(), strict=False)

    @field_validator("starts")
    @classmethod
    def _within_reach(cls, found: datetime) -> datetime:
        """Refuse a start so far off that a year around it leaves the calendar."""
        if not FIRST_YEAR <= found.year <= LAST_YEAR:
            msg = f"set a year from {FIRST_YEAR} to {LAST_YEAR}"
            raise ValueError(msg)
        return found

    def to_scenario(self) -> Scenario:
        """Return the scenario these tables describe."""
        return Scenario(
            title=self.title,
            starts=_milliseconds(self.starts),
            timezone=self.timezone,
            assay=self.assay,
            policy=self.policy.to_policy(),
            samples=tuple(
                ScriptedSample(
                    number=each.number,
                    kind=each.kind,
                    assay=each.assay or self.assay,
                    expires=each.expires,
                    expected=expected_lines(each.expected),
                    shows=each.to_shows(),
                )
                for each in self.control
            ),
            operators=tuple(each.id for each in self.operator),
            staff=tuple(said for each in self.operator for said in each.to_staff()),
            lots=tuple(
                ScriptedLot(
                    number=each.number,
                    assay=each.assay or self.assay,
                    expires=each.expires,
                    units=each.units,
                    storage=each.storage,
                    buffer=each.buffer,
                    good_days=each.good_days,
                )
                for each in self.lot
            ),
            persons=tuple(
                ScriptedPerson(
                    id=each.id,
                    arrives=each.arrives,
                    shows=each.bands.to_shows(),
                    particulars=tuple(each.particulars()),
                    consent=each.to_consent(),
                )
                for each in self.person
            ),
            acts=tuple(
                ScriptedAct(at=each.at, entry=each.to_entry(), done_at=each.done_at)
                for each in self.act
            ),
            cartridges={each.id: each.bands.to_shows() for each in self.cartridge},
            naps=tuple(sorted(self._naps(), key=lambda nap: nap.shut)),
            goal=self.goal,
            teaching=self.teaching,
            difficulty=self.difficulty,
            interruptions=tuple(each.to_interruption() for each in self.interruption),
            flaws=tuple(each.to_flaw() for each in self.flaw),
        )

    def _naps(self) -> Iterator[Nap]:
        yield from (Nap(shut=each.shut, open=each.open) for each in self.lid)
        for each in self.interruption:
            if each.kind is InterruptionKind.LID_CLOSED and each.until is not None:
                yield Nap(shut=each.at, open=each.until)


def read_scenario(text: str, source: str) -> Scenario:
    """Return the scenario that `text` describes; `source` names the file in faults.

    Raises:
        WrongFileError: a key, a value or the whole does not make sense.
    """
    tables = read_tables(text, ScenarioTables, source)
    faults = [f"{source}: {fault}" for fault in whole_faults(tables)]
    if faults:
        raise WrongFileError(faults)
    return tables.to_scenario()


def _milliseconds(starts: datetime) -> int:
    # Whole milliseconds; arithmetic in UTC, as everywhere.
    since = starts.astimezone(UTC) - datetime(1970, 1, 1, tzinfo=UTC)
    return since.days * 86_400_000 + since.seconds * 1_000 + since.microseconds // 1_000
