"""The power goes: only what was synchronised is there, and all that was acknowledged is in it.

A hand works at a bay on a taped disk. Afterwards the files are made as a power
cut would have left them, at many points of the tape, and opened as the product
opens them. The control does the same with synchronisation off, and must lose.
"""

from __future__ import annotations

import asyncio
import shutil
from contextlib import closing, contextmanager
from dataclasses import dataclass, field
from typing import TYPE_CHECKING

from readbell.core.errors import ReadbellError
from readbell.journal import sqlite
from readbell.journal.sqlite import SqliteJournal
from readbell.journal.verify import verify
from torture.bench import Hand, place_in
from torture.taped import Kind, PowerCut, Tape, taped
from torture.trial import Ground, Trial, Tried

if TYPE_CHECKING:
    import random
    from collections.abc import Iterator
    from pathlib import Path

    from bay.conftest import Place, Work

ACTS_OF_A_SHIFT = 40


@dataclass(frozen=True, slots=True, kw_only=True)
class Acknowledged:
    """From this point of the tape on, somebody relies on the journal up to this event."""

    point: int
    seq: int
    hash: str


@dataclass(kw_only=True)
class Day:
    """What was asked of the disk, and what people were told."""

    tape: Tape
    told: list[Acknowledged] = field(default_factory=list)


async def work_a_day(folder: Path, tape: Tape, chance: random.Random, acts: int) -> Day:
    """Work in shifts; each ends well or by a kill, and the next goes on."""
    place, day = place_in(folder), Day(tape=tape)
    shift = await place.take_up()
    note(day, shift)
    await shift.prepare()
    note(day, shift)
    hand = Hand(chance=chance, work=shift)
    for number in range(1, acts + 1):
        await hand.act()
        note(day, shift)
        if number % ACTS_OF_A_SHIFT == 0:
            hand.work = shift = await next_shift(place, shift, clean=chance.random() < 0.5)
            note(day, shift)
    await shift.die()
    return day


async def next_shift(place: Place, work: Work, *, clean: bool) -> Work:
    """End one shift and begin the next."""
    await (work.close() if clean else work.die())
    return await place.take_up(work.clock)


def note(day: Day, work: Work) -> None:
    """Note that all up to here has been acknowledged."""
    head = work.keeper.head
    day.told.append(Acknowledged(point=len(day.tape.notes), seq=head.seq, hash=head.hex))


def cut_points(day: Day, chance: random.Random, count: int) -> list[int]:
    """Return points of the tape: half of them right after somebody was told something."""
    acknowledged = [each.point for each in day.told]
    points = [chance.choice(acknowledged) for _ in range(count // 2)]
    points += [chance.randint(0, len(day.tape.notes)) for _ in range(count - len(points))]
    return sorted(points)


def examine(path: Path, day: Day, point: int, tried: Tried) -> None:
    """Open what the power cut left, and look for everything that was acknowledged by then."""
    told = [each for each in day.told if each.point <= point]
    tried.times += 1
    try:
        with closing(SqliteJournal.open(path)) as journal:
            damage = journal.damage()
            verdict = verify(journal)
    except ReadbellError as error:
        tried.fail(f"point {point}: {error}", lost=told[-1].seq if told else 1)
        return
    if damage is not None:
        tried.fail(f"point {point}: damaged: {damage}")
    gone = [each for each in told if each.hash not in verdict.heads_seen]
    if gone:
        tried.fail(f"point {point}: {len(gone)} acts are gone", lost=len(gone))


@contextmanager
def synchronous(setting: str, answer: int) -> Iterator[None]:
    """Let journals be opened with another setting than the product's own."""
    kept = sqlite._SETTINGS
    changed = tuple(
        (name, setting, answer) if name == "synchronous" else (name, value, read)
        for name, value, read in kept
    )
    sqlite._SETTINGS = changed  # type: ignore[assignment]
    try:
        yield
    finally:
        sqlite._SETTINGS = kept


def cut(ground: Ground, name: str, acts: int, points: int) -> tuple[Tried, Tried]:
    """Work, cut, and examine; return what came of the strict disk and of the torn one."""
    chance = ground.chance(f"power {name}")
    strict = Tried(what=f"power cut, only what was synchronised is kept, {name}")
    torn = Tried(what=f"power cut, some of the rest is kept too, torn by sectors, {name}")
    with taped() as tape:
        day = asyncio.run(work_a_day(ground.folder(), tape, chance, acts))
    disk = PowerCut()
    for point in cut_points(day, chance, points):
        disk.go_on(tape.notes, point)
        for tried, luck in ((strict, None), (torn, chance)):
            folder = ground.folder() / "disk"
            disk.leave(folder, luck)
            (folder / "bay.journal").touch()  # its name is synchronised as it is made
            examine(folder / "bay.journal", day, point, tried)
            shutil.rmtree(folder.parent)
    syncs = sum(each.kind is Kind.SYNC for each in tape.notes)
    strict.note = f"{len(day.told)} acknowledgements, {len(tape.notes)} writes and {syncs} syncs"
    return strict, torn


def power(ground: Ground) -> Iterator[Tried]:
    """Cut the power of the product, and of a control that must lose."""
    acts = ground.times(long=600, short=60)
    points = ground.times(long=200, short=15)
    yield from cut(ground, "synchronous FULL as the product has it", acts, points)
    with synchronous("OFF", 0):
        control, _ = cut(ground, "control with synchronous OFF", acts, points)
    control.must_lose, control.wrong = True, []
    yield control


TRIALS = [Trial(name="power", title="Power cut", run=power)]
