"""The state of a bay: what its events add up to."""

from __future__ import annotations

from dataclasses import field
from typing import TYPE_CHECKING

from readbell.core.climate.climate import UNMEASURED, Climate
from readbell.core.controls.room import UNPROVEN, SampleRoom
from readbell.core.instant import MINUTE, Span
from readbell.core.made_later import dataclass
from readbell.core.policy.policy import UNDECIDED, SitePolicy
from readbell.core.shift.book import NO_SHIFT, ShiftBook
from readbell.core.staff.roster import NOBODY, Roster
from readbell.core.stock.room import EMPTY, StockRoom

if TYPE_CHECKING:
    from collections.abc import Iterator, Mapping

    from readbell.core.assay.events import AssayAdopted
    from readbell.core.board.events import AlarmTested, AlertHeard, BayFounded
    from readbell.core.board.mixed_up import PersonMixedUp
    from readbell.core.board.review import OwnReview
    from readbell.core.board.sending import Sent
    from readbell.core.cartridge.cartridge import Cartridge
    from readbell.core.figures.near_misses import NearMiss
    from readbell.core.instant import Instant
    from readbell.core.keeping.events import ArchiveWritten
    from readbell.core.paper.events import PaperRunEntered
    from readbell.core.people.events import LabelledAhead, PersonLeft
    from readbell.core.people.file import PersonFile
    from readbell.core.people.party import Party
    from readbell.core.practice.events import PracticeBegun
    from readbell.core.results.telling import ResultTold
    from readbell.core.review.events import ResultWithdrawn
    from readbell.core.starts.loaded import LoadedPlan
    from readbell.core.stations.events import ActKeptApart
    from readbell.core.stations.station import Station
    from readbell.core.stock.lot import Lot


@dataclass(frozen=True, slots=True, kw_only=True, repr=False)
class Board:
    """Everything known of one bay. A value: each event gives a new one."""

    founded: BayFounded | None = None
    climate: Climate = UNMEASURED
    """How warm it was last, at the bench and in the store."""
    policy: SitePolicy = UNDECIDED
    """What the site has decided where rules leave it the choice."""
    roster: Roster = NOBODY
    """Who works here, and how each of them stands."""
    assays: Mapping[str, AssayAdopted] = field(default_factory=dict)
    """By content hash, in the order of adoption."""
    operators: Mapping[str, str] = field(default_factory=dict)
    """Operator id to the key that events name."""
    persons: Mapping[str, str] = field(default_factory=dict)
    """Patient id to the key that events name."""
    names: Mapping[str, str | None] = field(default_factory=dict)
    """Key of an operator, a person or a party to the id; None once erased."""
    archives: tuple[ArchiveWritten, ...] = ()
    """What was written of the record into files; none of it can be erased from here."""
    names_since: Instant | None = None
    """Since when persons are known by name here; None: nobody ever was.

    What was erased of a closed period moves it to that period's end.
    """
    person_files: Mapping[str, PersonFile] = field(default_factory=dict)
    """What is known of each person beside the ID, by key; nothing was said of the others."""
    ahead: Mapping[str, LabelledAhead] = field(default_factory=dict)
    """By label, what was labelled before its person's turn and is not begun yet."""
    paper_runs: Mapping[str, PaperRunEntered] = field(default_factory=dict)
    """Runs that were entered from paper, by their opaque id: stated, and never among the timed ones."""
    paper_withdrawn: Mapping[str, ResultWithdrawn] = field(default_factory=dict)
    """Opaque id of each of them whose result a supervisor took back."""
    on_paper: Mapping[str, tuple[str, ...]] = field(default_factory=dict)
    """Key of a person to their runs that were entered from paper, in order."""
    parties: Mapping[str, Party] = field(default_factory=dict)
    """By key, in the order in which they were registered."""
    came_with: Mapping[str, str] = field(default_factory=dict)
    """Key of a person to the key of the party they came with last."""
    lots: Mapping[str, Lot] = field(default_factory=dict)
    stock_room: StockRoom = EMPTY
    """What came to lots, beside what each of them now is."""
    samples: SampleRoom = UNPROVEN
    """Control materials, and what was proven with them."""
    open_lot: str | None = None
    """Number of the lot opened last, whose box is in front; None once it is on hold, used up, or
    none was opened: what a start takes from is then said anew, whatever else stands open."""
    open_boxes: Mapping[str, str] = field(default_factory=dict)
    """Id of each assay of which a box stands open, to the number of its lot, in order of opening."""
    running: Mapping[str, Cartridge] = field(default_factory=dict)
    """Cartridges that still want something, by their opaque id."""
    ended: Mapping[str, Cartridge] = field(default_factory=dict)
    labels: Mapping[str, str] = field(default_factory=dict)
    """Label on the plastic to the opaque id of whichever cartridge bears it last."""
    order: Mapping[str, str] = field(default_factory=dict)
    """Opaque id to the label, in the order of labelling; a label may come again after a shift."""
    shift_book: ShiftBook = NO_SHIFT
    """Which shift runs, and which labels are free again."""
    history: Mapping[str, tuple[str, ...]] = field(default_factory=dict)
    """Key of a person to their cartridges, in the order in which they were begun."""
    owed: Mapping[str, str] = field(default_factory=dict)
    """Opaque id of each ended cartridge that is owed a repeat, to the key of its person."""
    held: Mapping[str, str] = field(default_factory=dict)
    """Opaque id of each ended cartridge that is held for review, to the key of its person."""
    own_acts: Mapping[str, OwnReview] = field(default_factory=dict)
    """By a running number, each supervisor's act on what they had done themselves."""
    readings: Mapping[str, int] = field(default_factory=dict)
    """Id of each assay to how many readings of patients' cartridges were made in their windows."""
    new_specimen: Mapping[str, PersonMixedUp] = field(default_factory=dict)
    """Key of each person who was mixed up with another, and has no fresh cartridge since."""
    told: Mapping[str, tuple[ResultTold, ...]] = field(default_factory=dict)
    """What somebody was told of a cartridge or a run on paper, by its opaque id, in order."""
    to_put_right: Mapping[str, str] = field(default_factory=dict)
    """Opaque id of what somebody was told that no longer holds, to the key of its person."""
    to_tell_first: Mapping[str, str] = field(default_factory=dict)
    """The same of positives that nobody was told of yet; it may be that they are held."""
    to_tell: Mapping[str, str] = field(default_factory=dict)
    """The same of all else that nobody was told of yet."""
    to_notify: Mapping[str, str] = field(default_factory=dict)
    """The same of what an office has to be notified of."""
    waiting: Mapping[str, str] = field(default_factory=dict)
    """Key of each person who came in a party and is still to be begun, to that of the party."""
    gone: Mapping[str, PersonLeft] = field(default_factory=dict)
    """Key of each person who left lately before anything was begun for them, and is not back."""
    plan: LoadedPlan | None = None
    """The plan that starts go by, if one was loaded."""
    sent: Mapping[str, tuple[Sent, ...]] = field(default_factory=dict)
    """Opaque id of each result that has left as a file, to how it last left in each form."""
    unsent: Mapping[str, str] = field(default_factory=dict)
    """Opaque id of each result that has yet to leave as the site expects, to its person's key."""
    near_misses: Mapping[str, NearMiss] = field(default_factory=dict)
    """By a running number, each act that was refused, as far as it can be counted."""
    exports: Mapping[str, Instant] = field(default_factory=dict)
    """Opaque id of each export, to when it was entered."""
    clock_jumps: tuple[tuple[Instant, Span], ...] = ()
    """Each time the wall clock was set, and by how much, in order."""
    heard: Mapping[str, AlertHeard] = field(default_factory=dict)
    """What was last heard of each running cartridge, by its opaque id."""
    muted_until: Instant | None = None
    """It may be past: `alarm.muted_until` says whether the mute still holds."""
    alarm_test: AlarmTested | None = None
    """The last alarm test since the program was started."""
    practice: PracticeBegun | None = None
    """Of which scenario this is an attempt; None in a live bay, and where nobody practises."""
    stations: Mapping[str, Station] = field(default_factory=dict)
    """By name, every station that ever joined this bay; none joins a bay that nobody shares."""
    holders: Mapping[str, str] = field(default_factory=dict)
    """Opaque id of each running cartridge to the station whose clock it runs on."""
    apart: Mapping[str, ActKeptApart] = field(default_factory=dict)
    """By a running number, what was done alone and kept apart, and nobody has settled yet."""
    apart_count: int = 0
    """How many were ever kept apart."""
    longest_alone: Span = Span(0)
    """For how long a station was alone at most whose record was joined up."""
    stopped_cleanly: bool = False
    """Whether the last event is the clean mark."""

    def __repr__(self) -> str:
        """Say how much there is, and name nobody: this may end in a crash report."""
        return f"Board({len(self.running)} running, {len(self.ended)} ended)"

    @property
    def out_of_order(self) -> Span:
        """How far an event may lie behind an earlier one of the record; 0 in an unshared bay.

        What was done alone is recorded when it is joined up, at the instants at which it was
        done; and the clocks of stations are a little apart. Whoever walks back from the newest
        stops only so much further back.
        """
        return Span(self.longest_alone + MINUTE) if self.stations else Span(0)

    def cartridge(self, cartridge_id: str) -> Cartridge | None:
        """Return the cartridge with this opaque id, running or ended."""
        return self.running.get(cartridge_id) or self.ended.get(cartridge_id)

    def labelled(self, label: str) -> Cartridge | None:
        """Return the cartridge that carries `label`, or None."""
        found = self.labels.get(label)
        return None if found is None else self.cartridge(found)

    def in_order(self) -> Iterator[Cartridge]:
        """Yield every cartridge, in the order in which they were labelled."""
        for cartridge_id in self.order:
            found = self.cartridge(cartridge_id)
            if found is not None:
                yield found

    def name(self, key: str | None) -> str | None:
        """Return the id behind the key of an operator, a person or a party, unless erased."""
        return None if key is None else self.names.get(key)

    def party_of(self, person: str) -> Party | None:
        """Return the party that the person with this key came with last, or None."""
        found = self.came_with.get(person)
        return None if found is None else self.parties.get(found)

    def assay_called(self, assay_id: str) -> AssayAdopted | None:
        """Return the adoption that counts for `assay_id`: the latest."""
        found = [each for each in self.assays.values() if each.assay.id == assay_id]
        return found[-1] if found else None
