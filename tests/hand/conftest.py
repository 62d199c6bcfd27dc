"""A pair of hands before a real bay: scans and keys in, and what the record says out."""

from __future__ import annotations

from dataclasses import dataclass, field, replace
from datetime import date
from typing import TYPE_CHECKING

import pytest_asyncio

from bay.conftest import place  # noqa: F401  # a fixture, used by its name
from builders import NASAL, THREE_LINES, span
from readbell.assays.content_hash import content_hash
from readbell.assays.library import Library
from readbell.bay.desk import Desk
from readbell.bay.identifiers import RandomIdentifiers
from readbell.bay.site_time import time_zone
from readbell.core.board.acts import OpenLot
from readbell.core.cartridge.events import How
from readbell.core.policy.policy import SitePolicy
from readbell.core.policy.staffing import SignInBy
from readbell.core.staff.acts import SetPin
from readbell.hand.deaf import deafened, noted
from readbell.hand.doing import Visiting, Watching
from readbell.hand.given import Chose, Given, Key, Pressed, Scanned
from readbell.hand.hand import Hand
from readbell.hand.handle import handle
from readbell.hand.scene import AtHand, Scene
from readbell.hand.ticking import tick
from readbell.journal.pin_file import PinFile, pins_beside
from readbell.phrases.clock_time import ClockFace
from readbell.scenarios.line import OpenLotLine

if TYPE_CHECKING:
    from collections.abc import AsyncIterator, Awaitable, Callable

    from bay.conftest import Place, Work
    from readbell.core.assay.assay import Assay
    from readbell.core.board.event import Event
    from readbell.core.cartridge.cartridge import Cartridge
    from readbell.hand.doing import Doing, Room

    Make = Callable[[SitePolicy], Awaitable["Hands"]]

SHELF = tuple(AtHand(id=each.id, title=each.title) for each in (NASAL, THREE_LINES))
PIN = SitePolicy(sign_in=SignInBy.PIN, pin_attempts=3)
PINS = {"op-1": "4071", "op-2": "9037"}


def find(reference: str) -> tuple[Assay, str]:
    """The bundled assay of that name, with its fingerprint."""
    assay = Library().find(reference)
    return assay, content_hash(assay)


@dataclass(kw_only=True)
class Hands:
    """What is given goes to the hand, and what it asks goes to the bay."""

    work: Work
    desk: Desk
    hand: Hand = field(default_factory=lambda: Hand(doing=Watching(), operator="op-1"))
    left: bool = False
    rang: int = 0
    asked: int = 0
    scans: int = 0
    keys: int = 0

    @property
    def words(self) -> str:
        """What was said last."""
        return "" if self.hand.said is None else self.hand.said.words

    def in_hand(self) -> Doing:
        """What is in hand; asked anew each time."""
        return self.hand.doing

    @property
    def fine(self) -> bool | None:
        """Whether it was fine."""
        return None if self.hand.said is None else self.hand.said.fine

    @property
    def scene(self) -> Scene:
        """What the hand sees now."""
        board, now = self.work.bay.board, self.work.bay.now()
        from readbell.core.board.sound import loudest

        return Scene(
            board=board,
            now=now,
            face=ClockFace(zone=time_zone("UTC")),
            sounding=loudest(board, now),
            shelf=SHELF,
            around=self.work.bay.present().around,
        )

    async def give(self, given: Given) -> None:
        """Give one thing and see through what it asks."""
        scene = self.scene
        turn = handle(tick(self.hand, scene), given, scene)
        self.hand, self.left = turn.hand, self.left or turn.leave
        self.rang += turn.ring
        if turn.ask is not None:
            self.asked += 1
            answer = await self.desk.serve(self.work.bay, turn.ask.request)
            after = turn.ask.then(self.hand, answer, self.scene)
            self.hand = noted(self.hand, after, given, answer.at)

    async def on_purpose(self, given: Given) -> None:
        """Give one thing, not so soon after the same one that it would be taken for it."""
        if deafened(self.hand, given, self.work.bay.now()) is not None:
            self.wait("0:02")
        await self.give(given)

    async def scan(self, *texts: str) -> None:
        """Scan each of the texts."""
        for text in texts:
            self.scans += 1
            await self.on_purpose(Scanned(text))

    async def type(self, *texts: str) -> None:
        """Type each of the texts, with Enter."""
        for text in texts:
            await self.on_purpose(Scanned(text, How.TYPED))

    async def press(self, *keys: Key) -> None:
        """Press each of the keys."""
        for key in keys:
            self.keys += 1
            await self.on_purpose(Pressed(key))

    async def choose(self, question: str, answer: str) -> None:
        """Pick an answer straight, as a mouse does."""
        await self.give(Chose(question, answer))

    def wait(self, text: str) -> None:
        """Let time go by."""
        self.work.clock.advance(text)
        self.hand = tick(self.hand, self.scene)

    def cartridge(self, label: str) -> Cartridge:
        """Return a cartridge as the board has it."""
        return self.work.cartridge(label)

    async def stored(self) -> list[Event]:
        """Return every event of the journal."""
        return [each.event for each in await self.work.stored()]

    async def to_well(self, label: str, person: str) -> None:
        """Bring a cartridge to the well through this very hand."""
        await self.scan(person, label)
        await self.scan(label)
        await self.press(Key.DONE)
        self.wait("1:00")
        for _ in range(2):
            await self.scan(label)
            await self.press(Key.DONE)
        assert self.cartridge(label).applied is not None, self.words

    async def to_window(self, label: str, person: str) -> None:
        """Bring a cartridge into its read window."""
        await self.to_well(label, person)
        self.wait("15:00")
        assert span("15:00") > 0


@pytest_asyncio.fixture
async def hands(place: Place) -> AsyncIterator[Hands]:  # noqa: F811  # the fixture
    """Hands at a bay with two operators, two persons and an open box."""
    work = await place.take_up()
    await work.prepare(units=20)
    desk = Desk(identifiers=RandomIdentifiers(), find_assay=find)
    await desk.serve(work.bay, OpenLotLine(do="open-lot", by="op-1", lot="L-100"))
    yield Hands(work=work, desk=desk)
    await work.die()


@pytest_asyncio.fixture
async def under(place: Place) -> AsyncIterator[Make]:  # noqa: F811  # the fixture
    """Makes hands at a bay under a policy, where both operators have a PIN and nobody is in."""
    made: list[Hands] = []

    async def make(policy: SitePolicy) -> Hands:
        first = await place.take_up()
        await first.prepare(units=20)
        file = PinFile(pins_beside(place.path))
        for who, pin in PINS.items():
            if policy.sign_in is SignInBy.PIN:
                file.put(first.bay.board.operators[who], pin)
                await first.bay.do(SetPin(by="op-1", operator=who))
        await first.bay.do(OpenLot(by="op-1", lot="L-100", today=date(2026, 3, 29)))
        await first.close()
        work = await place.take_up(first.clock, policy=policy)
        desk = Desk(identifiers=RandomIdentifiers(), find_assay=find, pins=file)
        hands = Hands(work=work, desk=desk)
        hands.hand = replace(hands.hand, operator=None, locked=policy.sign_in is not SignInBy.NONE)
        made.append(hands)
        return hands

    yield make
    for hands in made:
        await hands.work.die()


async def events_of(hands: Hands, kind: type[Event]) -> list[Event]:
    """Every event of a kind in the journal."""
    return [each for each in await hands.stored() if isinstance(each, kind)]


async def visit(hands: Hands, room: Room) -> None:
    """Go to a room; the keys on the way round to it are not counted."""
    if not isinstance(hands.in_hand(), Visiting):
        await hands.on_purpose(Pressed(Key.ROOMS))
    await hands.choose("room", room)
    assert hands.in_hand() == Visiting(room=room)
