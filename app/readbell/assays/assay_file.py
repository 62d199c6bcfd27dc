"""What an assay file may say, key by key; whole-profile rules stand in the core."""

from __future__ import annotations

import re
from typing import Annotated, Literal

from pydantic import AfterValidator, BeforeValidator, Field, StringConstraints
from stdnum import luhn, verhoeff

from readbell.core.assay.assay import Assay, Temperatures
from readbell.core.assay.reading_rules import ReadingRules, SecondReader, TestLine
from readbell.core.assay.step import Limit, Step, Wait
from readbell.core.instant import Span
from readbell.toml_tables import Table, Time, as_span

NO_STATED_LIMIT = "no stated limit"


def _as_seen(found: str) -> str:
    """Refuse what nobody sees: an instruction must read the same to everybody, on every screen."""
    if found != found.strip() or not found.isprintable():
        msg = "it has blanks at an end or signs that cannot be seen: write it in one line without"
        raise ValueError(msg)
    return found


def _as_loinc(found: str) -> str:
    """Refuse what is no LOINC code: digits, a hyphen, and the check digit by modulus 10 (Luhn)."""
    number, _, check = found.partition("-")
    shaped = re.fullmatch(r"[0-9]{1,7}-[0-9]", found) is not None
    if not shaped or luhn.calc_check_digit(number) != check:
        msg = (
            "this is no LOINC code, its check digit does not fit: copy it anew from where it stands"
        )
        raise ValueError(msg)
    return found


def _as_snomed(found: str) -> str:
    """Refuse what is no SNOMED CT identifier: 6 to 18 digits, the last a check digit (Verhoeff)."""
    if re.fullmatch(r"[1-9][0-9]{5,17}", found) is None or not verhoeff.is_valid(found):
        msg = (
            "this is no code of SNOMED CT, its check digit does not fit: "
            "copy it anew from where it stands"
        )
        raise ValueError(msg)
    return found


Key = Annotated[str, StringConstraints(pattern=r"^[a-z0-9][a-z0-9-]*$", max_length=60)]
Words = Annotated[
    str,
    StringConstraints(strip_whitespace=True, min_length=1, max_length=600),
    AfterValidator(_as_seen),
]
Mark = Annotated[str, StringConstraints(min_length=1, max_length=6), AfterValidator(_as_seen)]
Degrees = Annotated[float, Field(allow_inf_nan=False)]


def _as_close(written: object) -> Span | None:
    return None if written == NO_STATED_LIMIT else as_span(written)


Close = Annotated[Span | None, BeforeValidator(_as_close)]


class WaitTable(Table):
    """[step.wait]: what must and may pass before a later step."""

    until: Key | None = None
    least: Time = Span(0)
    least_is: Annotated[Limit, Field(strict=False)] = Limit.FIRM
    most: Time | None = None
    most_is: Annotated[Limit, Field(strict=False)] = Limit.ADVISORY
    name: Annotated[str, StringConstraints(max_length=60), AfterValidator(_as_seen)] = ""


class StepTable(Table):
    """[[step]]: one hands-on action."""

    key: Key
    title: Words
    instruction: Words
    hands_on: Time
    touches_specimen: bool = False
    collects: bool = False
    extracts: bool = False
    wait: WaitTable | None = None


class LineTable(Table):
    """[[reading.line]]: one test line, in the order of the device."""

    key: Key
    mark: Mark
    name: Words
    loinc: Annotated[str, AfterValidator(_as_loinc)] | None = None


class ReadingTable(Table):
    """[reading]: when the strip is read, and which lines it has."""

    opens: Time
    closes: Close
    closing_warning: Time = Span(0)
    early_from: Time | None = None
    hands_on: Time = Span(15_000)
    control_mark: Mark = "C"
    second_reader: Literal["off", "faint", "all"] = "off"
    line: tuple[LineTable, ...] = Field(strict=False)


class TemperatureTable(Table):
    """[temperature]: degrees Celsius."""

    storage: tuple[Degrees, Degrees] = Field(strict=False)
    running: tuple[Degrees, Degrees] = Field(strict=False)
    warm_up: Time | None = None


class AssayTables(Table):
    """A whole assay file."""

    format: Literal[1]
    id: Key
    title: Words
    specimen: Words
    step: tuple[StepTable, ...] = Field(strict=False)
    reading: ReadingTable
    temperature: TemperatureTable
    glove_change: Time = Span(20_000)
    clearing_up: Words
    open_box_days: Annotated[int, Field(ge=0, le=3_660)] | None = None
    confidential: bool = False
    specimen_snomed: Annotated[str, AfterValidator(_as_snomed)] | None = None
    basis: dict[Words, Words] = Field(min_length=1)

    def to_assay(self) -> Assay:
        """Return the assay these tables describe."""
        return Assay(
            id=self.id,
            title=self.title,
            specimen=self.specimen,
            steps=self._steps(),
            reading=_reading(self.reading),
            temperatures=_temperatures(self.temperature),
            glove_change=self.glove_change,
            clearing_up=self.clearing_up,
            open_box_days=self.open_box_days,
            confidential=self.confidential,
            specimen_snomed=self.specimen_snomed,
            basis=tuple(sorted(self.basis.items())),
        )

    def _steps(self) -> tuple[Step, ...]:
        followers = [each.key for each in self.step[1:]] + [""]
        return tuple(
            Step(
                key=each.key,
                title=each.title,
                instruction=each.instruction,
                hands_on=each.hands_on,
                touches_specimen=each.touches_specimen,
                collects=each.collects,
                extracts=each.extracts,
                wait=None if each.wait is None else _wait(each.wait, follower),
            )
            for each, follower in zip(self.step, followers, strict=False)
        )


def _wait(table: WaitTable, follower: str) -> Wait:
    return Wait(
        # Most waits end at the very next step, so that need not be written.
        until=table.until or follower,
        least=table.least,
        least_is=table.least_is,
        most=table.most,
        most_is=table.most_is,
        name=table.name,
    )


def _reading(table: ReadingTable) -> ReadingRules:
    return ReadingRules(
        opens=table.opens,
        closes=table.closes,
        closing_warning=table.closing_warning,
        early_from=table.early_from,
        hands_on=table.hands_on,
        control_mark=table.control_mark,
        second_reader=SecondReader(table.second_reader),
        lines=tuple(
            TestLine(key=line.key, mark=line.mark, name=line.name, loinc=line.loinc)
            for line in table.line
        ),
    )


def _temperatures(table: TemperatureTable) -> Temperatures:
    return Temperatures(
        storage_least=table.storage[0],
        storage_most=table.storage[1],
        running_least=table.running[0],
        running_most=table.running[1],
        warm_up=table.warm_up,
    )
