"""A record of which something is to be erased, and what is found in it."""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING

from builders import NEGATIVE, TODAY, at, private
from readbell.core.board.erasable import Gathering
from readbell.core.board.events import ActRefused
from readbell.core.people.acts import NoteParticulars
from readbell.core.people.events import PersonRegistered
from readbell.core.people.particulars import Particular
from readbell.core.refusal import RefusalCode
from readbell.core.stations.apart import ApartReason
from readbell.core.stations.events import ActKeptApart

if TYPE_CHECKING:
    from journal.samples import Day
    from readbell.core.board.event import Event

NOBODY = frozenset[str]()


def refused(entered: str | None, cartridge: str | None = None) -> ActRefused:
    """Return a near miss in which `entered` was typed."""
    return ActRefused(
        at=at("20:00"),
        by="key-op-1",
        act="read",
        code=RefusalCode.WRONG_PERSON,
        cartridge=cartridge,
        entered=None if entered is None else private(entered),
        bands=None,
    )


def gather(events: list[Event], closed: int | None = None) -> Gathering:
    """Walk along `events`; those up to number `closed` lie in the wanted time."""
    gathering = Gathering()
    for number, event in enumerate(events, 1):
        gathering.see(event, in_time=closed is None or number <= closed)
    return gathering


def without_ids(events: list[Event]) -> list[Event]:
    """Return `events` as they stand in the record after each person's ID was erased."""
    return [
        replace(each, person=replace(each.person, value=None))
        if isinstance(each, PersonRegistered)
        else each
        for each in events
    ]


def visit(day: Day, label: str, person: str) -> None:
    """Test one person and read a negative."""
    day.to_well(label, person)
    day.must(day.read_act(NEGATIVE, label), "18:00")


def noted(day: Day, person: str, **said: str) -> None:
    """Note what a person is known by."""
    for what, value in said.items():
        day.must(
            NoteParticulars(
                by="op-1",
                person=person,
                particulars=((Particular(what.replace("_", "-")), private(value)),),
                today=TODAY,
            )
        )


def kept_apart(entered: str | None, person: str | None = None) -> ActKeptApart:
    """Return something that was done alone and cannot stand."""
    return ActKeptApart(
        at=at("20:00"),
        station="window",
        done=at("18:00"),
        by="key-op-1",
        kind="cartridge-voided",
        version=1,
        reason=ApartReason.READ_THERE,
        cartridge="id-nobody-knows",
        label="A-01",
        person=person,
        body="{}",
        entered=None if entered is None else private(entered),
        asks=True,
    )
