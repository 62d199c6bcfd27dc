"""A live bay whose work lies some days back, put into a journal event by event."""

from __future__ import annotations

import hashlib
from contextlib import closing
from dataclasses import fields, is_dataclass, replace
from typing import TYPE_CHECKING, Any

from builders import FAINT, NEGATIVE, START, TODAY, Bench, private
from journal.samples import STAMP
from readbell.core.board.acts import RegisterParty
from readbell.core.board.events import BayFounded, Mode, ProgramStarted
from readbell.core.cartridge.acts import Void
from readbell.core.cartridge.events import VoidReason
from readbell.core.instant import Span
from readbell.core.people.acts import NoteParticulars, NoteParty
from readbell.core.people.particulars import Particular
from readbell.core.private import Private
from readbell.core.staff.acts import GiveRoles
from readbell.core.staff.roles import EVERY_ROLE, Role
from readbell.journal.codec import encode_each
from readbell.journal.envelope import Envelope
from readbell.journal.record import Head
from readbell.journal.sqlite import SqliteJournal

if TYPE_CHECKING:
    from pathlib import Path

    from readbell.core.board.acts import Act
    from readbell.core.board.event import Event
    from readbell.core.refusal import Refusal

ADA, BEA = "P-001", "P-002"
SECRETS = (ADA, "Ada Example", "Car-Of-Ada", "lane-seven", "she fainted")
"""All that is on record of the first of the two."""
LATER = Span(10 * 24 * 3600 * 1000)


class PastBay(Bench):
    """Two people were tested on one day; ten days later nothing runs."""

    def __init__(self, *, roles: bool = False) -> None:
        self.events: list[Event] = [
            BayFounded(at=START, bay="Harrow Quay", timezone="UTC", mode=Mode.LIVE),
            ProgramStarted(at=START, clean=True, away=Span(0), running=0),
        ]
        super().__init__(mode=Mode.LIVE)
        if roles:
            for who, may in (("op-1", EVERY_ROLE), ("op-2", (Role.TESTER, Role.READER))):
                self.must(GiveRoles(by="op-1", operator=who, roles=may))
        self._people()

    def do(self, act: Act, now: str = "0:00") -> tuple[Event, ...] | Refusal:
        """Judge `act` and remember what follows from it."""
        decided = super().do(act, now)
        if isinstance(decided, tuple):
            self.events.extend(decided)
        return decided

    def _people(self) -> None:
        self.must(
            RegisterParty(
                by="op-1", party=private("Car-Of-Ada"), persons=(private(ADA), private(BEA))
            )
        )
        self.must(NoteParty(by="op-1", party="Car-Of-Ada", lane=private("lane-seven"), note=None))
        for who, name in ((ADA, "Ada Example"), (BEA, "Bea Exemplar")):
            noted = ((Particular.NAME, private(name)),)
            self.must(NoteParticulars(by="op-1", person=who, particulars=noted, today=TODAY))
        self.label("C1", ADA)
        fainted = Void(aim=self.aim("C1"), reason=VoidReason.OTHER, words=private("she fainted"))
        self.must(fainted, "0:30")
        for label, who, seen in (("C2", ADA, NEGATIVE), ("C3", BEA, FAINT)):
            self.to_well(label, who)
            self.must(self.read_act(seen, label), "18:00")

    def put(self, path: Path) -> Path:
        """Write it into the journal at `path`; each event was recorded when it happened.

        A bay's keys say nothing, and a bench's do: they are made opaque first.
        """
        events = [opaque(event) for event in self.events]
        envelopes = [
            Envelope(
                id=f"event-{number}",
                event=event,
                stamp=replace(STAMP, mode=Mode.LIVE, at=event.at, wall=event.at),
                assay=None,
            )
            for number, event in enumerate(events, 1)
        ]
        with closing(SqliteJournal.open(path)) as journal:
            journal.append(encode_each(envelopes, Head()), Head())
        return path


def opaque(value: Any) -> Any:
    """Return `value` with every key in it such as nobody could read a name from."""
    if isinstance(value, Private):
        return replace(value, key=opaque(value.key))
    if isinstance(value, str) and value.startswith("key-"):
        return f"key-{hashlib.sha256(value.encode()).hexdigest()[:12]}"
    if isinstance(value, tuple):
        return tuple(map(opaque, value))
    if is_dataclass(value) and not isinstance(value, type):
        return replace(
            value, **{each.name: opaque(getattr(value, each.name)) for each in fields(value)}
        )
    return value
