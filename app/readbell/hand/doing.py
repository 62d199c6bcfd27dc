"""What a hand may be in the middle of, one value each."""

from __future__ import annotations

from dataclasses import field
from enum import StrEnum
from typing import TYPE_CHECKING

from readbell.core.cartridge.events import How
from readbell.core.figures.view import By, Sheet, Stretch
from readbell.core.instant import SECOND, Span
from readbell.core.made_later import dataclass

if TYPE_CHECKING:
    from readbell.core.board.which_box import WhichBox
    from readbell.core.people.particulars import Particular

GIVE_OR_TAKE = Span(30 * SECOND)
"""Doubt about a step that is stated in minutes afterwards (our own choice, to the safe side)."""


@dataclass(frozen=True, slots=True)
class Watching:
    """Nothing: the board is watched, and the next scan decides."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Stepping:
    """A step, or several in a row, are offered and wait for being confirmed."""

    cartridge: str
    until: str
    """Key of the last step that is confirmed by this act."""
    first: str = ""
    """Key of the first one, as it was offered; empty where nobody has said."""
    ago: Span | None = None
    """How long ago it was done, if it was not pressed then."""
    asks_when: bool = False
    """Whether the next thing typed says how long ago."""
    give_or_take: Span = GIVE_OR_TAKE
    person: str | None = field(default=None, repr=False)
    """The ID as it was read back, if it was."""
    person_by: How | None = None
    asks_buffer: bool = False
    """Whether the next thing scanned is the buffer that is used for it."""
    is_named: bool = True
    """Whether its label was scanned or typed: only then does the next scan of it confirm."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Labelling:
    """It is one person's turn: a pouch is opened and the device inside labelled."""

    person: str = field(repr=False)
    person_by: How
    second: str | None = field(default=None, repr=False)
    """The second identifier as it was read back, if it was."""
    second_asked: Particular | None = None
    """What the site reads back beside the ID."""
    is_sample: bool = False
    """Whether `person` is the number of a control material, and no person's ID."""
    place: str | None = field(default=None, repr=False)
    """Where on the bench the cartridge will lie, in the site's own words."""
    asks_place: bool = False
    """Whether the next thing typed names that place."""
    doubted: str | None = field(default=None, repr=False)
    """A text that looked like another person's ID; F2 takes it as the label all the same."""
    doubted_by: How = How.TYPED
    """How that text was given."""
    offered: str = field(default="", compare=False)
    """The short label that was said to be free: it may stand on the device by now."""
    theirs: frozenset[str] = field(default=frozenset(), compare=False)
    """The labels of what ran for this person as their turn began."""
    witness: str | None = field(default=None, repr=False)
    """A supervisor who stands by, where whoever acts is not cleared for the assay."""
    asks_witness: bool = False
    """Whether the next badge is that supervisor's."""
    box: WhichBox | None = None
    """From which box the pouch is, as it was said; None: from the one in front."""
    again: bool = False
    """Whether this person has a cartridge already, and nobody has yet said that they get another."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Gathering:
    """Those who come together are entered, in the order in which they will be swabbed."""

    persons: tuple[str, ...] = field(default=(), repr=False)
    typed: frozenset[str] = field(default=frozenset(), repr=False)
    """Those of them whose ID was typed, not scanned."""
    lane: str | None = field(default=None, repr=False)
    """Where they wait, in the site's own words."""
    asks_lane: bool = False
    """Whether the next thing typed says that."""


class Purpose(StrEnum):
    """Why a strip is looked at. One never turns into another."""

    READ = "read"
    LOOK = "look"
    CORRECT = "correct"


@dataclass(frozen=True, slots=True, kw_only=True)
class Judging:
    """A strip is looked at, and said what is on it."""

    purpose: Purpose
    cartridge: str
    person: str | None = field(default=None, repr=False)
    """The ID as it was read back, and only if it was the right one."""
    person_by: How | None = None
    second_asked: Particular | None = None
    """What is read back beside the ID, once the ID was."""
    second: str | None = field(default=None, repr=False)
    """It, as it was read back."""
    second_by: How | None = None
    without_second: bool = False
    """Whether somebody was told that it is missing, and what saving without it means."""
    cursor: int = 0
    ready: bool | None = None
    """Before an early look: whether the background is clear and the flow has reached the end."""
    control: bool | None = None
    lines: tuple[tuple[str, str], ...] = ()
    """Key of each test line that was answered, and how strong it is."""
    unreadable: str | None = None
    cannot_be_read: bool = False
    """Whether a reason is asked for instead of lines."""
    slip: str | None = None
    """For a correction: what had gone wrong."""
    asks_name: bool = False
    """Whether nobody is signed in and the next text typed may be a name, to read under it."""
    name: str | None = field(default=None, repr=False)
    """The name that was typed; what is read under it is held for review."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Voiding:
    """A cartridge is given up: it must be scanned itself, and the reason picked."""

    cartridge: str
    scanned: bool = False
    how: How = How.PICKED
    reason: str | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class TakingBack:
    """What was confirmed last on a cartridge had not been done: the reason is picked."""

    cartridge: str
    step: str
    """Key of the step, or of the last of those that one press confirmed."""
    scanned_by: How | None = None
    """How its label was given, if it was: nobody has to."""
    reason: str | None = None


class Room(StrEnum):
    """Places beside the board."""

    LOTS = "lots"
    PEOPLE = "operators"
    """Who works here."""
    ASSAYS = "assays"
    SOUND = "sound"
    TEMPERATURE = "temperature"
    SAMPLES = "control samples"
    TODAY = "results"
    REVIEW = "review"
    """What is held until a supervisor has looked at it."""
    SHIFT = "shift"
    """Opening checks, closing, and the day sheet."""
    PLAN = "plan"
    """When the next person may be begun, and what each hand does next."""
    PATIENTS = "patients"
    """Who is tested today."""
    TELLING = "tell"
    """What is to be told to whom."""
    FIGURES = "figures"
    """What today and this week have come to."""
    STATIONS = "stations"
    """Who else works at a shared bay, and what was done alone; there is none where nobody shares it."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Visiting:
    """A room beside the board is looked at."""

    room: Room = Room.LOTS
    cursor: int = 0
    reason: str | None = None
    """In the room of sound: why it is to be muted."""
    scanned: str | None = None
    """The lot whose box was scanned in this room: the only one that may be held."""
    person: str | None = field(default=None, repr=False)
    """In the room of results: whose record was opened."""
    light: bool = False
    """In the room of the shift: whether somebody said that strips are well lit."""
    asked_about: str | None = None
    """In the room of the stations: which one is given up by the same key once more."""


class Paper(StrEnum):
    """A form that is filled in line by line."""

    LOT = "lot"
    DEED = "deed"
    """What was done with a lot beside opening and holding it."""
    SAMPLE = "sample"
    """A control material."""
    OPERATOR = "operator"
    ASSAY = "assay"
    ROLES = "roles"
    CLEARANCE = "clearance"
    RETIRE = "retire"
    RELEASE = "release"
    WITHDRAW = "withdraw"
    AMEND = "amend"
    """A supervisor says anew what was on a strip."""
    TEMPERATURE = "temperature"
    PERSON = "person"
    """Who a person is beside the ID."""
    CONSENT = "consent"
    PARTICULAR = "particular"
    """One thing about a person who is tested."""
    LEFT = "left"
    """Somebody who was entered has left."""
    AHEAD = "ahead"
    """A device is labelled before its person's turn."""
    PAPER_RUN = "paper-run"
    """A run that was done on paper is entered."""
    TELL = "tell"
    """Somebody was told a result."""
    PLAN = "plan"
    """A batch plan is made and loaded."""
    CLOSING = "closing"
    """A shift is closed over cartridges that still run."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Filling:
    """A form with several lines."""

    paper: Paper
    answers: tuple[tuple[str, str], ...] = field(default=(), repr=False)
    cursor: int = 0


@dataclass(frozen=True, slots=True, kw_only=True)
class Proving:
    """Somebody signs in, and their PIN is asked for."""

    operator: str = field(repr=False)
    before: Doing
    """What goes on once they have, or have not."""


@dataclass(frozen=True, slots=True, kw_only=True)
class ChoosingPin:
    """A new PIN is chosen: typed twice the same."""

    operator: str = field(repr=False)
    before: Doing
    first: str | None = field(default=None, repr=False)
    """As it was typed the first time."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Following:
    """The whole story of one cartridge is read, or of something that several belong to."""

    cartridge: str | None = None
    """Its opaque id; None: it is of several."""
    of: str = field(default="", repr=False)
    """Of several: whose or what it is, as people call it."""
    told: tuple[str, ...] = field(default=(), repr=False)
    """Of several: the lines of it, as it stood when it was opened."""
    before: Doing = field(default_factory=Watching)
    """What goes on when it is left."""
    page: int = 0
    """How often it was turned over; whoever paints knows how many pages there are."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Figuring:
    """All the figures are looked at, one table after another."""

    sheet: Sheet = Sheet.RATES
    by: By = By.DAY
    """What is told apart."""
    stretch: Stretch = Stretch.MONTH
    row: int = 0
    """The chosen one; whoever paints knows how many there are."""
    draws: bool = False
    """Whether the picture stands alone."""
    round: int = 0
    """How often it was asked to count anew."""
    before: Doing = field(default_factory=Watching)
    """What goes on when it is left."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Helping:
    """The signs and keys are looked up."""

    before: Doing
    page: int = 0
    """How often it was turned over; whoever paints knows how many pages there are."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Leaving:
    """The board is to be left, and what runs is shown first."""

    before: Doing = field(default_factory=Watching)
    """What goes on if it is not left after all."""


Doing = (
    Watching
    | Stepping
    | Labelling
    | Gathering
    | Judging
    | Voiding
    | TakingBack
    | Visiting
    | Filling
    | Proving
    | ChoosingPin
    | Following
    | Figuring
    | Helping
    | Leaving
)
