"""Whatever two stations do while their links come and go, they end with one and the same record."""

from __future__ import annotations

import asyncio
import json
import tempfile
from collections import Counter
from contextlib import closing
from pathlib import Path
from typing import TYPE_CHECKING

from hypothesis import given, settings
from hypothesis import strategies as st

from bay.two_stations import Site
from builders import TODAY
from readbell.core.board.acts import HearAlert, HoldLot, RegisterPerson
from readbell.core.board.entry import Do, Entry
from readbell.core.cartridge.events import VoidReason
from readbell.core.catalogue import NAMES
from readbell.core.people.acts import NoteParticulars
from readbell.core.people.particulars import Particular
from readbell.core.private import Private
from readbell.core.reading.bands import Strength
from readbell.core.stations.acts import GiveUpStation
from readbell.core.stations.events import ActKeptApart
from readbell.journal.codec import decode
from readbell.journal.sqlite import SqliteJournal
from readbell.journal.verify import verify
from readbell.phrases.apart_bands import event_kept

if TYPE_CHECKING:
    from bay.two_stations import Seat
    from readbell.core.board.board import Board
    from readbell.core.board.event import Event

STEPS = ("buffer", "collect", "extract", "withdraw", "apply")
NAMES_OF_ACTS = frozenset(
    {"cartridge-labelled", "cartridge-read", "cartridge-voided", "cartridge-lapsed"}
)
LABELS = ("C1", "C2", "A-C1", "B-C1")
PERSONS = ("P-001", "P-002", "P-003")
DEEDS = st.tuples(
    st.sampled_from(("bench", "window")),
    st.sampled_from(
        (
            "label",
            "step",
            "step",
            "step",
            "steps",
            "read",
            "read",
            "void",
            "hear",
            "person",
            "note",
            "hold",
            "wait",
            "wait",
            "long",
            "cut",
            "lost answer",
            "mend",
            "give-up",
            "killed",
            "closed",
        )
    ),
    st.integers(0, 3),
)


@settings(deadline=None, max_examples=30)
@given(deeds=st.lists(DEEDS, min_size=4, max_size=40))
def test_after_any_cuts_both_stations_and_the_record_say_the_same(
    deeds: list[tuple[str, str, int]],
) -> None:
    """No event twice, none lost that was acknowledged, and the chain is whole."""
    with tempfile.TemporaryDirectory() as folder:
        asyncio.run(played(Path(folder), deeds))


async def played(folder: Path, deeds: list[tuple[str, str, int]]) -> None:
    """Do everything, make both links up again, and hold both stations against the record."""
    site = Site(folder=folder)
    try:
        bench = await site.open("bench")
        await bench.work.prepare()
        await site.open("window", bench.work.clock)
        await bench.follow()
        for number, (name, deed, which) in enumerate(deeds):
            await done(site, name, deed, which, number)
            for seat in site.seats.values():
                await seat.work.ring()
                await seat.follow()
        for _ in range(2):
            for seat in site.seats.values():
                await seat.come_back()
                assert seat.keeper.alone is None
        with closing(SqliteJournal.open(folder / "server.journal", read_only=True)) as far:
            ids = [json.loads(each.body)["id"] for each in far.records()]
            events = [decode(each, far.private).event for each in far.records()]
            whole = verify(far).board
    finally:
        await site.close()
    assert len(ids) == len(set(ids))
    for seat in site.seats.values():
        assert_alike(seat.bay.board, whole)
    found = Counter(map(act_of, events))
    for act in found:
        assert found[act] == 1 or act is None, act
    for seat in site.all_seats:
        assert acts_told(seat) <= found.keys()


Made = tuple[str, int, "str | None"]


def act_of(event: Event) -> Made | None:
    """Return what names one act on a device, as it was done or as it is kept apart; else None."""
    if isinstance(event, ActKeptApart):
        assert event_kept(event) is not None, event.kind  # all that it said can be told
        return (event.kind, event.done, event.cartridge) if event.kind in NAMES_OF_ACTS else None
    name = NAMES[type(event)]
    return (name, event.at, getattr(event, "cartridge", None)) if name in NAMES_OF_ACTS else None


def acts_told(seat: Seat) -> set[Made]:
    """Return every act on a device that this station ever told of."""
    made = (act_of(each) for news in seat.work.told for each in news.events)
    return {each for each in made if each is not None}


def assert_alike(here: Board, whole: Board) -> None:
    """Hold what a station shows against what the record adds up to."""
    assert dict(here.running) == dict(whole.running)
    assert dict(here.ended) == dict(whole.ended)
    assert dict(here.holders) == dict(whole.holders)
    assert dict(here.held) == dict(whole.held)
    assert dict(here.apart) == dict(whole.apart)
    assert dict(here.lots) == dict(whole.lots)
    assert dict(here.persons) == dict(whole.persons)


async def done(site: Site, name: str, deed: str, which: int, number: int) -> None:
    """Try one thing at a station, whatever comes of it."""
    seat = site.seats[name]
    label = LABELS[which]
    match deed:
        case "cut":
            await seat.go_alone()
        case "lost answer":
            seat.server.loses_answers = True
        case "mend":
            await seat.come_back()
        case "wait":
            await site.advance("1:00")
        case "long":
            await site.advance("7:30")
        case "killed" | "closed":
            was_cut = seat.keeper.alone is not None
            await (seat.die() if deed == "killed" else seat.work.close())
            await site.open(name, seat.work.clock, cut=was_cut)
        case "give-up":
            around = seat.bay.present().around
            assert around is not None
            other = "window" if name == "bench" else "bench"
            act = GiveUpStation(by="op-1", station=other, heir=name, away=around.away)
            await seat.bay.do(act)
        case "label":
            await seat.work.enter(seat.work.label(label, PERSONS[which % 2]))
        case "step":
            found = seat.bay.board.labelled(label)
            step = None if found is None or found.has_ended else found.next_step
            if step is not None:
                await seat.work.enter(seat.work.step(step.key, label))
        case "steps":
            for step_key in STEPS[:3]:
                await seat.work.enter(seat.work.step(step_key, label))
        case "read":
            seen = (Strength.ABSENT, Strength.CLEAR)[number % 2]
            await seat.work.enter(seat.work.read(label, seen))
        case "void":
            entry = Entry(do=Do.VOID, by="op-1", cartridge=label, reason=VoidReason.DROPPED)
            await seat.work.enter(entry)
        case "hear":
            await seat.bay.do(HearAlert(by="op-1", cartridge=label))
        case "person":
            person = Private(key=f"key-{number}", salt="s", value=PERSONS[2])
            await seat.bay.do(RegisterPerson(by="op-1", person=person))
        case "note":
            said = Private(key=f"note-{number}", salt="s", value=f"Ada {which}")
            particulars = ((Particular.NAME, said),)
            noting = NoteParticulars(
                by="op-1", person=PERSONS[which % 2], particulars=particulars, today=TODAY
            )
            await seat.bay.do(noting)
        case _:
            await seat.bay.do(HoldLot(by="op-1", lot="L-100"))
