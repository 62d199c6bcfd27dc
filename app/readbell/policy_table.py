"""The `[policy]` table of a file: a site's decisions, key by key."""

from __future__ import annotations

import re
from typing import Annotated

from pydantic import AfterValidator, Field, StringConstraints, model_validator

from readbell.core.assay.reading_rules import SecondReader
from readbell.core.policy.identifying import PatientId, SecondIdentifier
from readbell.core.policy.notices import NoticeRule
from readbell.core.policy.policy import UNDECIDED, SitePolicy
from readbell.core.policy.second_reading import SecondReaderRule
from readbell.core.policy.sending import OF_RESULTS, ReportFormat
from readbell.core.policy.shifts import Shifts
from readbell.core.policy.staffing import OutsideCompetence, SignInBy
from readbell.core.policy.stocking import Strictness
from readbell.core.policy.temperature import OutsideTemperature
from readbell.toml_tables import Table


def _as_pattern(written: str) -> str:
    try:
        re.compile(written)
    except re.error:
        msg = (
            "this is no regular expression: write one that takes a whole ID, as '[A-Z]{2}[0-9]{6}'"
        )
        raise ValueError(msg) from None
    return written


class NoticeTable(Table):
    """[[policy.notices]]: of which results the site notifies whom, and how soon."""

    assay: Annotated[str, StringConstraints(min_length=1, max_length=60)]
    office: Annotated[str, StringConstraints(strip_whitespace=True, min_length=1, max_length=80)]
    hours: Annotated[int, Field(ge=1, le=720)]
    negatives: bool = True

    def to_rule(self) -> NoticeRule:
        """Return the rule, ready for the record."""
        return NoticeRule(
            assay=self.assay, office=self.office, hours=self.hours, negatives=self.negatives
        )


class SecondReaderTable(Table):
    """[[policy.second_reader]]: which readings somebody else reads again."""

    when: Annotated[SecondReader, Field(strict=False)]
    assay: Annotated[str, StringConstraints(min_length=1, max_length=60)] | None = None
    """Left out: of every assay."""
    nth: Annotated[int, Field(ge=2, le=1_000)] | None = None

    @model_validator(mode="after")
    def _nth_goes_with_each(self) -> SecondReaderTable:
        """Refuse one of the two without the other: nobody could say what was meant."""
        if (self.when is SecondReader.EACH_NTH) is not (self.nth is not None):
            msg = 'when = "each-nth" and nth go together: write both, or neither'
            raise ValueError(msg)
        return self

    def to_rule(self) -> SecondReaderRule:
        """Return the rule, ready for the record."""
        return SecondReaderRule(assay=self.assay or "", when=self.when, nth=self.nth or 0)


def _of_results(found: tuple[ReportFormat, ...]) -> tuple[ReportFormat, ...]:
    if any(each not in OF_RESULTS for each in found) or len(set(found)) < len(found):
        msg = f"name each of these once at most: {', '.join(OF_RESULTS)}"
        raise ValueError(msg)
    return found


class PolicyTable(Table):
    """Every key may be left out; the settings of a site and a scenario share this table."""

    warn_expiry_days: Annotated[int, Field(ge=0, le=366)] = UNDECIDED.warn_expiry_days
    low_stock_units: Annotated[int, Field(ge=0, le=100_000)] = UNDECIDED.low_stock_units
    low_stock_hours: Annotated[int, Field(ge=0, le=240)] = UNDECIDED.low_stock_hours
    cold_kits: Annotated[Strictness, Field(strict=False)] = UNDECIDED.cold_kits
    opened_too_long: Annotated[Strictness, Field(strict=False)] = UNDECIDED.opened_too_long
    controls_overdue: Annotated[Strictness, Field(strict=False)] = UNDECIDED.controls_overdue
    controls_new_lot: bool = UNDECIDED.controls_new_lot
    controls_new_delivery: bool = UNDECIDED.controls_new_delivery
    controls_new_operator: bool = UNDECIDED.controls_new_operator
    controls_every_hours: Annotated[int, Field(ge=0, le=8_784)] = UNDECIDED.controls_every_hours
    controls_after_two_invalids: bool = UNDECIDED.controls_after_two_invalids
    controls_after_lot_invalids: Annotated[int, Field(ge=0, le=1_000)] = (
        UNDECIDED.controls_after_lot_invalids
    )
    controls_after_excursion: bool = UNDECIDED.controls_after_excursion
    sign_in: Annotated[SignInBy, Field(strict=False)] = UNDECIDED.sign_in
    pin_attempts: Annotated[int, Field(ge=0, le=20)] = UNDECIDED.pin_attempts
    idle_lock_minutes: Annotated[int, Field(ge=0, le=1440)] = UNDECIDED.idle_lock_minutes
    outside_competence: Annotated[OutsideCompetence, Field(strict=False)] = (
        UNDECIDED.outside_competence
    )

    temperature_hours: Annotated[int, Field(ge=0, le=168)] = UNDECIDED.temperature_hours
    store_temperature_hours: Annotated[int, Field(ge=0, le=168)] = UNDECIDED.store_temperature_hours
    outside_temperature: Annotated[OutsideTemperature, Field(strict=False)] = (
        UNDECIDED.outside_temperature
    )
    shifts: Annotated[Shifts, Field(strict=False)] = UNDECIDED.shifts
    patient_id: Annotated[PatientId, Field(strict=False)] = UNDECIDED.patient_id
    patient_id_pattern: Annotated[str, Field(max_length=200), AfterValidator(_as_pattern)] = (
        UNDECIDED.patient_id_pattern
    )
    second_identifier: Annotated[SecondIdentifier, Field(strict=False)] = (
        UNDECIDED.second_identifier
    )
    ask_consent: bool = UNDECIDED.ask_consent
    minor_below_years: Annotated[int, Field(ge=0, le=30)] = UNDECIDED.minor_below_years
    label_ahead: bool = UNDECIDED.label_ahead
    reports_expected: Annotated[
        tuple[Annotated[ReportFormat, Field(strict=False)], ...],
        Field(strict=False),
        AfterValidator(_of_results),
    ] = UNDECIDED.reports_expected
    notices: Annotated[tuple[NoticeTable, ...], Field(strict=False)] = ()
    second_reader: Annotated[tuple[SecondReaderTable, ...], Field(strict=False)] = ()
    repeat_limit: Annotated[int, Field(ge=0, le=20)] = UNDECIDED.repeat_limit
    referral: Annotated[str, StringConstraints(strip_whitespace=True, max_length=400)] = (
        UNDECIDED.referral
    )

    @model_validator(mode="after")
    def _pattern_goes_with_scheme(self) -> PolicyTable:
        """Refuse one of the two without the other: half a rule would check nothing."""
        if (self.patient_id is PatientId.PATTERN) is not bool(self.patient_id_pattern):
            msg = 'patient_id = "pattern" and patient_id_pattern go together: write both or none'
            raise ValueError(msg)
        return self

    @model_validator(mode="after")
    def _one_office_for_an_assay(self) -> PolicyTable:
        """Refuse two rules for one assay: nobody could say which of them was kept."""
        assays = [each.assay for each in self.notices]
        if len(set(assays)) < len(assays):
            msg = "notices name one assay twice: write one [[policy.notices]] for each"
            raise ValueError(msg)
        return self

    def to_policy(self) -> SitePolicy:
        """Return the decisions, ready for the record."""
        said = {name: getattr(self, name) for name in type(self).model_fields}
        rules = {
            "notices": tuple(each.to_rule() for each in self.notices),
            "second_reader": tuple(each.to_rule() for each in self.second_reader),
        }
        return SitePolicy(**said | rules)
