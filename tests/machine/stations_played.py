"""Two stations of one shared bay, and what has to be true of them whatever is done."""

from __future__ import annotations

import asyncio
import shutil
import tempfile
from itertools import count
from pathlib import Path
from typing import TYPE_CHECKING

from hypothesis import strategies as st
from hypothesis.stateful import RuleBasedStateMachine, invariant, rule

from builders import private
from machine.given import TRIED
from machine.plain_strips import Strip
from machine.station_checks import (
    begun_too_late,
    check_record,
    contradictions,
    lost_at,
    replayed,
    stored_at,
    unlike,
)
from machine.two_computers import NAMES, TwoComputers
from readbell.core.board.acts import RegisterOperator, RegisterPerson
from readbell.core.board.entry import Entry
from readbell.core.cartridge.events import CartridgeLabelled, CartridgeRead, EarlyPositiveSeen
from readbell.core.private import Private
from readbell.core.reading.bands import Strength

if TYPE_CHECKING:
    from collections.abc import Coroutine
    from typing import Any, TypeVar

    from bay.two_stations import Seat
    from readbell.bay.news import Answer
    from readbell.core.board.acts import Act
    from readbell.core.board.event import Event
    from readbell.core.cartridge.cartridge import Cartridge

    Found = TypeVar("Found")

PERSONS = ("pat-1301", "pat-1302", "pat-1303")
PLACE = "on the left tray"
AT = dict(zip(NAMES, ("op-1", "op-2"), strict=True))
"""Who works at which station: nobody is at both at one instant."""

which_station = st.sampled_from(NAMES)
nth = st.integers(0, 11)
seen = st.sampled_from([Strength.ABSENT, Strength.ABSENT, Strength.FAINT, Strength.CLEAR])


class StationsPlayed(RuleBasedStateMachine):
    """Two stations, and what is true whatever they believe."""

    def __init__(self) -> None:
        super().__init__()
        self.root = Path(tempfile.mkdtemp(prefix="readbell-stations-"))
        self.site = TwoComputers(folder=self.root)
        self.runner = asyncio.Runner()
        self.strips: dict[str, Strip] = {}
        self.acknowledged: list[tuple[str, Event]] = []
        self.keys = count(1)
        self.run(self._found())

    async def _found(self) -> None:
        bench = await self.site.begin(NAMES[0])
        await bench.work.prepare()
        await bench.bay.do(RegisterOperator(by="op-1", operator=private("op-3")))
        for person in PERSONS[:2]:
            await bench.bay.do(RegisterPerson(by="op-1", person=self.apart(person)))
        await self.site.begin(NAMES[1])
        await self._look_about()

    def run(self, doing: Coroutine[Any, Any, Found]) -> Found:
        """Let the stations do something to its end."""
        return self.runner.run(doing)

    def seat(self, which: str) -> Seat:
        """Return a station as it is open now."""
        return self.site.seats[which]

    async def _look_about(self) -> None:
        for which in NAMES:
            await self.site.look_after(which, has_news=True)

    def apart(self, value: str) -> Private:
        """Wrap an identifier or words under a key that tells nothing of it."""
        key = next(self.keys)
        return Private(key=f"kept-{key}", salt=f"salt-{key}", value=value)

    # What is done at a station, and what of it is true.

    def act(self, which: str, act: Act | Entry) -> Answer:
        """Do something at a station, whatever comes of it, and keep what was acknowledged."""
        seat = self.seat(which)
        answer = self.run(seat.work.enter(act) if isinstance(act, Entry) else seat.bay.do(act))
        code = "taken" if answer.refusal is None else str(answer.refusal.code)
        what = str(act.do) if isinstance(act, Entry) else type(act).__name__
        TRIED[f"{what}: {code}"] += 1
        if answer.accepted:
            self.acknowledged += [(which, each) for each in answer.events]
            for each in answer.events:
                self._note(which, each)
        return answer

    def _note(self, which: str, event: Event) -> None:
        match event:
            case CartridgeLabelled():
                self.strips[event.cartridge] = Strip(event.label)
            case CartridgeRead():
                strip = self.strips[event.cartridge]
                assert strip.is_read_in_time(self.site.true.wall)
                strip.read_at.add(which)
            case EarlyPositiveSeen():
                strip = self.strips[event.cartridge]
                assert strip.is_looked_at_in_time(self.site.true.wall)

    def wait(self, span: int) -> None:
        """Let time go by for all, and both look about at its end."""
        self.site.go_on(span)
        self.run(self._look_about())

    def pick(self, which: str, n: int, *, ended: bool = False) -> Cartridge | None:
        """Return one of the cartridges as a station knows them."""
        board = self.seat(which).bay.board
        found = list(board.ended.values() if ended else board.running.values())
        return found[n % len(found)] if found else None

    @rule()
    def settle(self) -> None:
        """Mend both links: then both have all there is, and hold nothing that is not on record."""
        self.run(self.site.settle())
        TRIED["both links are mended"] += 1
        boards = {which: self.seat(which).bay.board for which in NAMES}
        for which in NAMES:
            assert self.seat(which).keeper.alone is None, which
            assert self.seat(which).keeper.not_saved is None, which
        record = check_record(self.root / "server.journal", self.acknowledged)
        for which, board in boards.items():
            parted = unlike(board, record.board)
            assert not parted, f"{which}: {parted}"
            assert self.seat(which).keeper.head == record.head
        for pair in contradictions(record.board):
            for each in pair:
                assert any("contradicts-another" in held.reasons for held in each.holds), each.label
            TRIED["two strips of one person contradict each other"] += 1
        for late in begun_too_late(record.board):
            assert any("lot-expired" in held.reasons for held in late.holds), late.label
            TRIED["a strip was begun after the last day of its lot"] += 1
        erased = [key for key, called in record.board.names.items() if called is None]
        assert not [key for key in erased if key in record.board.person_files]
        for key, strip in self.strips.items():
            if strip.is_undecided:
                for board in (*boards.values(), record.board):
                    found = board.cartridge(key)
                    assert found is not None
                    assert str(found.outcome) == "withheld", found.outcome
                TRIED["what was read at both stations is undecided"] += 1

    # What is always true.

    @invariant()
    def nothing_is_lost_where_it_was_done(self) -> None:
        """What a station has taken lies on its own disks, linked or not, and its board says no more."""
        for seat in map(self.seat, NAMES):
            stored = self.run(stored_at(seat))
            lost = lost_at(seat, stored, self.acknowledged)
            assert not lost, f"{seat.name}: {lost}"
            if seat.keeper.alone is None:
                parted = unlike(seat.bay.board, replayed(seat, stored))
                assert not parted, f"{seat.name}: {parted}"

    def teardown(self) -> None:
        """End every play with both links mended."""
        try:
            self.settle()
        finally:
            self.run(self.site.close())
            self.runner.close()
            shutil.rmtree(self.root)
