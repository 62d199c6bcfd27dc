"""Clocks that stop, jump, sleep and lie: no alert is dropped, none is early, none comes twice.

The model counts true milliseconds; it knows the times of the assay and nothing
of how the product keeps time.
"""

from __future__ import annotations

import asyncio
import os
import signal
import time
from dataclasses import dataclass, field, replace
from datetime import date, datetime, timedelta
from typing import TYPE_CHECKING, Any

from bay.conftest import HandClock
from builders import NASAL
from cli.conftest import SCENARIO
from readbell.core.board.acts import ReceiveLot
from readbell.core.board.events import ClockJumped, ClockUnsure, ComputerSlept
from readbell.core.cartridge.events import AlertKind, AlertRaised
from readbell.rehearsals import load_script, rehearse
from torture.bench import place_in
from torture.processes import QUICK, arrival, labelling, now, site, step
from torture.stored import stored_in
from torture.trial import Ground, Trial, Tried

if TYPE_CHECKING:
    import random
    from collections.abc import Iterator

    from bay.conftest import Place, Work
    from readbell.bay.news import News

HARD = (
    ("the night an hour is left out", "Europe/London", "2026-03-29T00:55:00+00:00"),
    ("the night an hour comes twice", "Europe/London", "2026-10-25T00:50:00+00:00"),
    ("an hour left out elsewhere", "America/New_York", "2026-03-08T06:55:00+00:00"),
    ("half an hour that comes twice", "Australia/Lord_Howe", "2026-04-04T14:50:00+00:00"),
    ("midnight", "Europe/London", "2026-01-14T23:55:00+00:00"),
    ("into a leap day", "UTC", "2028-02-28T23:55:00+00:00"),
    ("out of a leap day", "UTC", "2028-02-29T23:55:00+00:00"),
    ("the end of a year", "Pacific/Auckland", "2026-12-31T10:55:00+00:00"),
    ("the end of the 32-bit clock", "UTC", "2038-01-19T03:09:00+00:00"),
)
MINUTE, TOLERANCE = 60_000, 1_000
LOT = "L-far"
WINDOW = {
    AlertKind.EARLY_LOOK: 2 * MINUTE,
    AlertKind.READ_NOW: 15 * MINUTE,
    AlertKind.CLOSING: 18 * MINUTE,
    AlertKind.LAPSED: 20 * MINUTE + 1,
}
"""When each falls after the drops, by the bundled assay."""
IN_BUFFER = {AlertKind.WAIT_OVER: MINUTE, AlertKind.OVERDUE: 3 * MINUTE}
AFTER_RESUME_SECONDS = 1.1
DEAD_BATTERY = 946_684_800_000


@dataclass(kw_only=True)
class Storm:
    """One bay under bad clocks, and the true time beside it."""

    place: Place
    work: Work
    clock: HandClock
    tried: Tried
    origin: int
    true: int = 0
    due: dict[tuple[AlertKind, str], int] = field(default_factory=dict)
    """What must ring, and at which true millisecond."""
    before: int = 0
    """Alerts of bays that are closed by now."""
    raised: dict[tuple[AlertKind, str], int] = field(default_factory=dict)
    slept: int = 0
    """Milliseconds asleep that were too few to be told; they add up."""
    harm: list[str] = field(default_factory=list)

    def pass_time(self, span: int, *, asleep: bool = False) -> None:
        """Let true time go by."""
        self.true += span
        self.clock.wall += span
        self.clock.counting += span
        self.clock.asleep += span if asleep else 0

    async def begin(self, label: str, person: str, *, to_well: bool) -> None:
        """Begin a cartridge, by hand and in the model."""
        await self.work.must(replace(self.work.label(label, person), lot=LOT))
        for name in ("buffer", "collect", "extract"):
            await self.work.must(self.work.step(name, label))
        soaked = self.true
        self.due[AlertKind.WAIT_OVER, label] = soaked + IN_BUFFER[AlertKind.WAIT_OVER]
        if not to_well:
            self.due[AlertKind.OVERDUE, label] = soaked + IN_BUFFER[AlertKind.OVERDUE]
            return
        self.pass_time(MINUTE)
        await self.compare()
        for name in ("withdraw", "apply"):
            await self.work.must(self.work.step(name, label))
        for kind, span in WINDOW.items():
            self.due[kind, label] = self.true + span

    async def compare(self) -> None:
        """Let what is due ring, and hold it against the model."""
        await self.work.ring()
        told = [
            event
            for news in self.work.told[self.before :]
            for event in news.events
            if isinstance(event, AlertRaised)
        ]
        self.before = len(self.work.told)
        for event in told:
            name = (event.alert, self.work.label_of(event.cartridge))
            self._say(name not in self.raised, f"{name} rang twice")
            self._say(event.at >= event.due, f"{name} rang early")
            self._say(
                event.due - self.origin == self.due.get(name),
                f"{name} due at {event.due - self.origin}, truly at {self.due.get(name)}",
            )
            self.raised[name] = event.due
        missing = {name for name, due in self.due.items() if due <= self.true} - set(self.raised)
        self._say(not missing, f"never rang: {missing}")
        self._say(self.work.now() - self.origin == self.true, "the time line is off")

    def _say(self, is_so: bool, what: str) -> None:
        self.tried.expect(is_so, f"{what} (after {', '.join(self.harm) or 'nothing'})")

    async def restart(self, clock: HandClock) -> None:
        """Kill the bay and take it up on other clocks."""
        await self.work.die()
        self.clock, self.before, self.slept = clock, 0, 0
        self.work = await self.place.take_up(clock)

    async def look_about(self) -> list[object]:
        """Let the bay look at its clocks; return what it says of them."""
        before = len(self.work.told)
        await self.work.look_about()
        return [
            event
            for news in self.work.told[before:]
            for event in news.events
            if isinstance(event, ClockJumped | ComputerSlept)
        ]

    async def do_harm(self, chance: random.Random) -> None:
        """Do one thing to the clocks, and let the bay notice."""
        span = chance.choice((1, 999, 1_001, chance.randint(1, 6 * MINUTE)))
        match chance.randint(0, 5):
            case 0:
                self.harm.append(f"{span} ms")
                self.pass_time(span)
            case 1:
                self.harm.append(f"suspended {span} ms")
                self.pass_time(span, asleep=True)
                self.slept += span
                told = [e.span for e in await self.look_about() if isinstance(e, ComputerSlept)]
                owed = [self.slept] if self.slept > TOLERANCE else []
                self._say(told == owed, f"a sleep of {owed} was told as {told}")
                self.slept = 0 if told else self.slept
            case 2:
                moved = chance.choice((-1, 1)) * chance.choice((1_001, 3_600_000, 172_800_000))
                self.harm.append(f"wall clock {moved:+} ms")
                self.clock.wall += moved
                told = [e.by_span for e in await self.look_about() if isinstance(e, ClockJumped)]
                self.slept = 0
                self._say(told == [moved], f"a jump of {moved} was told as {told}")
            case 3:
                self.harm.append(f"killed for {span} ms")
                self.pass_time(span)
                await self.restart(self.clock)
            case 4:
                self.harm.append(f"closed for {span} ms, the wall clock moved an hour")
                self.pass_time(span)
                self.clock.wall += chance.choice((-3_600_000, 3_600_000))
                await self.restart(self.clock)
            case _:
                # A wall clock that was set back since would be before the last event.
                self.harm.append(f"rebooted for {span} ms")
                await self.look_about()
                await self.work.must(replace(self.work.label(f"X{len(self.harm)}"), lot=LOT))
                self.pass_time(span)
                boot = f"reboot-{len(self.harm)}"
                await self.restart(self.clock.reboot(self.clock.wall, boot=boot))


async def storm(ground: Ground, chance: random.Random, start: str, zone: str, tried: Tried) -> None:
    """Run one bay through bad clocks, then a restart on clocks that cannot be right."""
    clock = HandClock(wall=int(datetime.fromisoformat(start).timestamp() * 1000))
    place = place_in(ground.folder())
    work = await place.take_up(clock, timezone=zone)
    await work.prepare()
    lot = ReceiveLot(by="op-1", number=LOT, assay=NASAL.id, expires=date(2099, 12, 31), units=None)
    tried.expect((await work.bay.do(lot)).accepted, "no lot")
    it = Storm(place=place, work=work, clock=clock, tried=tried, origin=work.now())
    await it.begin("C1", "P-001", to_well=True)
    await it.begin("C2", "P-002", to_well=chance.random() < 0.5)
    for _ in range(chance.randint(3, 9)):
        await it.do_harm(chance)
        await it.compare()
    await unsure(it, chance)
    await it.work.die()


async def unsure(it: Storm, chance: random.Random) -> None:
    """Restart on a wall clock that cannot be right: nothing may be read as if it were."""
    await it.begin("C9", "P-001", to_well=True)
    wall, known = chance.choice(
        (
            (DEAD_BATTERY, True),
            (it.clock.wall - 1, True),
            (it.clock.wall + 5 * MINUTE, False),
        )
    )
    it.harm.append("rebooted on a wall clock that cannot be right")
    await it.restart(it.clock.reboot(wall, boot="boot-bad", wall_is_known=known))
    doubts = [
        event for each in await it.work.stored() if isinstance(event := each.event, ClockUnsure)
    ]
    it.tried.expect(bool(doubts) and it.work.cartridge("C9").unsure, "the doubt was not told")
    it.clock.advance("16:00")
    rung = [kind for kind, label in await it.work.ring() if label == "C9"]
    it.tried.expect(AlertKind.READ_NOW not in rung, "a reading was called for on an unsure clock")
    answer = await it.work.enter(it.work.read("C9"))
    it.tried.expect(not answer.accepted, "an outcome was taken from an unsure clock")


def storms(ground: Ground) -> Iterator[Tried]:
    """Bad clocks in hard nights."""
    chance = ground.chance("clocks")
    for name, zone, start in HARD:
        tried = Tried(what=f"suspend, wall clock moved, kill, reboot, lying clock: {name}")
        for _ in range(ground.times(long=60, short=1)):
            tried.times += 1
            asyncio.run(storm(ground, chance, start, zone, tried))
        yield tried


def same_everywhere(ground: Ground) -> Iterator[Tried]:
    """The same work on the simulated clock, its scheduler running, rings alike on every night."""
    tried = Tried(what="the same rehearsal, asleep for a while, on every hard night: same alarms")
    folder = ground.folder()
    seen: set[tuple[tuple[str, int], ...]] = set()
    for name, zone, start in HARD:
        for early in range(ground.times(long=15, short=1)):
            tried.times += 1
            begins = datetime.fromisoformat(start) - timedelta(minutes=early)
            path = folder / "night.toml"
            path.write_text(
                SCENARIO.replace("2026-03-29T00:40:00+00:00", begins.isoformat())
                .replace("Europe/London", zone)
                .replace("2026-12-31", "2099-12-31")
                + '[[lid]]\nshut = "6:00"\nopen = "9:30"\n',
                "utf-8",
            )
            script = load_script(path)
            run = asyncio.run(rehearse(script, None, None, _ignore, lambda *_: None))
            seen.add(tuple((str(each.alert), each.at - run.starts) for each in run.alerts))
            tried.expect(len(seen) == 1, f"another course of alarms: {name}")
    tried.note = f"{len(next(iter(seen)))} alarms each"
    yield tried


def _ignore(_: News) -> None:
    pass


def _says_lapsed(said: dict[str, Any], label: str) -> bool:
    """Say whether this was told of the end of the window of `label`."""
    words = said["says"]
    return said.get("news") == "alert-raised" and "LAPSED" in words.upper() and label in words


def stopped(ground: Ground) -> Iterator[Tried]:
    """SIGSTOP a real bay across the whole window of its strips."""
    tried = Tried(what="SIGSTOP of a real bay while alarms fall due: dropped, early or twice")
    slowest = 0.0
    span = ground.times(long=5, short=1)
    with site(ground.folder()) as place:
        bay = place.start()
        place.prepare(bay)
        for number in range(ground.times(long=10, short=1)):
            tried.times += 1
            labels = [f"Q{number}-{each}" for each in range(5)]
            for label in labels:
                bay.must(**arrival(f"P-{label}"))
                bay.must(**labelling(label, f"P-{label}", QUICK))
                bay.must(**step(label, "soak"))
            # All at once, and stopped before the first of them can fall due, if nothing else stops it.
            told = len(bay.heard)
            bay.say(*(step(label, "apply") for label in labels))
            for _ in labels:
                tried.expect(bay.answer()["accepted"], "the drops were refused")
            os.kill(bay.process.pid, signal.SIGSTOP)
            time.sleep(span)
            os.kill(bay.process.pid, signal.SIGCONT)
            resumed = now()
            while not all(
                any(_says_lapsed(each, of) for each in bay.heard[told:]) for of in labels
            ):
                bay.line()
            slowest = max(slowest, now() - resumed)
        tried.expect(bay.leave() == 0, "it did not end well")
        alerts = stored_in(place.journal).of("alert-raised")
        names = [(each["cartridge"], each["alert"]) for each in alerts]
        tried.expect(len(names) == len(set(names)), "an alarm rang twice")
        for kind in ("read-now", "closing", "lapsed"):
            count = sum(alert == kind for _, alert in names)
            tried.expect(count == 5 * tried.times, f"{kind}: {count} of {5 * tried.times}")
        tried.expect(all(each["at"] >= each["due"] for each in alerts), "an alarm rang early")
    tried.expect(slowest <= AFTER_RESUME_SECONDS or not ground.long, f"after {slowest:.2f} s")
    tried.note = f"{span} s each; the last of five strips was told {slowest:.2f} s after the resume"
    yield tried


TRIALS = [
    Trial(name="clocks", title="Bad clocks", run=storms),
    Trial(name="nights", title="Hard nights on the simulated clock", run=same_everywhere),
    Trial(name="stopped", title="Stopped", run=stopped),
]
