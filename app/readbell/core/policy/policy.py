"""A site's own decisions, kept in the record so that every act can be judged by them later."""

from __future__ import annotations

from dataclasses import field

from readbell.core.made_later import dataclass
from readbell.core.making import LATER
from readbell.core.policy.identifying import PatientId, SecondIdentifier
from readbell.core.policy.notices import NoticeRule
from readbell.core.policy.second_reading import SecondReaderRule
from readbell.core.policy.sending import ReportFormat
from readbell.core.policy.shifts import Shifts
from readbell.core.policy.staffing import OutsideCompetence, SignInBy
from readbell.core.policy.stocking import Strictness
from readbell.core.policy.temperature import OutsideTemperature


@dataclass(frozen=True, slots=True, kw_only=True)
class SitePolicy:
    """What a site decides where rules leave it the choice.

    Each field has the value that asks for nothing more, so that a bay where
    nobody has decided anything works as before.
    """

    warn_expiry_days: int = 14
    """From so many days before its last day on, a lot is marked as going out of date."""
    low_stock_units: int = 0
    """With so many units of an assay left, or fewer, stock is called low; 0: it never is."""
    low_stock_hours: int = 0
    """Or when what is left will last so many hours at the pace of the last one; 0: never."""
    cold_kits: Strictness = Strictness.REFUSE
    """What becomes of a start with a kit that was kept cold and has not warmed up."""
    opened_too_long: Strictness = Strictness.WARN
    """What becomes of a start with a box that is past its days after opening."""
    controls_overdue: Strictness = Strictness.WARN
    """What becomes of a patient's start on a lot whose control samples are overdue."""
    controls_new_lot: bool = False
    controls_new_delivery: bool = False
    controls_new_operator: bool = False
    """Whether each operator runs both kinds themselves before their first patient."""
    controls_every_hours: int = 0
    """Run them so many hours after they last passed; 0: not by the clock."""
    controls_after_two_invalids: bool = False
    """Of one person, on one lot."""
    controls_after_lot_invalids: int = 0
    """Of one lot within a day; 0: not for that."""
    controls_after_excursion: bool = False
    """After kits, or the bay, were out of their temperatures."""

    sign_in: SignInBy = SignInBy.NONE
    """What it takes to sign in; a badge alone says who acts where nobody has to."""
    pin_attempts: int = 5
    """So many wrong PINs in a row lock an operator out; 0: none do."""
    idle_lock_minutes: int = 0
    """A station that nobody has touched for so long is locked; 0: never."""
    outside_competence: OutsideCompetence = OutsideCompetence.ALLOWED
    """What becomes of a start by somebody who is not cleared for the assay."""

    temperature_hours: int = 0
    """How often a temperature of the bay is wanted, in hours; 0: nobody is reminded."""
    store_temperature_hours: int = 0
    """The same for where the kits are kept."""
    outside_temperature: OutsideTemperature = OutsideTemperature.WARNED
    """What becomes of a start while it is too cold or too warm for the assay."""

    shifts: Shifts = Shifts.OFF
    """Whether no cartridge is begun before a shift was opened."""

    patient_id: PatientId = PatientId.ANY
    """What a patient ID has to be to be registered."""
    patient_id_pattern: str = ""
    """The regular expression that takes a whole ID, where the site has one of its own."""
    second_identifier: SecondIdentifier = SecondIdentifier.NONE
    """What is read back beside the ID at the label and at the reading."""
    ask_consent: bool = False
    """Whether nobody is begun before their consent of the day is noted."""
    minor_below_years: int = 0
    """Who is younger cannot consent alone; 0: the site draws no line."""
    label_ahead: bool = False
    """Whether a device may be labelled before its person's turn, its pouch shut."""
    notices: tuple[NoticeRule, ...] = field(default=(), metadata=LATER)
    """Whom the site notifies of which results; one for an assay."""

    reports_expected: tuple[ReportFormat, ...] = field(default=(), metadata=LATER)
    """In which forms each result is to leave; a shift says what has yet to. None: nobody asks."""

    second_reader: tuple[SecondReaderRule, ...] = field(default=(), metadata=LATER)
    """Which readings somebody else reads again; what an assay's own file asks is asked as well."""
    repeat_limit: int = field(default=0, metadata=LATER)
    """So many repeats of one person and assay in a day, and no more; 0: no limit."""
    referral: str = field(default="", metadata=LATER)
    """Where a person goes who gets no further repeat: the site's own words, about nobody."""


UNDECIDED = SitePolicy()
"""What holds where nobody has decided anything."""
