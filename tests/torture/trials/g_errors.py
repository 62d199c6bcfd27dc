"""The disk answers a write or a synchronisation with an error, once, for a while or for good.

What SQLite makes of it is its own affair: half an append may be in its log. What
was acknowledged must stand, once, whatever was said of the append before.
"""

from __future__ import annotations

import asyncio
from dataclasses import dataclass
from typing import TYPE_CHECKING

import apsw

from readbell.core.errors import ReadbellError
from torture.bench import Hand, kept_of, place_in
from torture.taped import Kind, Note, taped
from torture.trial import Ground, Trial, Tried

if TYPE_CHECKING:
    import random
    from collections.abc import Iterator

    from bay.conftest import Work

ERRORS = {
    "the disk is full": apsw.FullError,
    "an input or output error": apsw.IOError,
    "the disk turned read-only": apsw.ReadOnlyError,
}
ACTS_BEFORE, ACTS_AFTER = 4, 8
MEND_MILLISECONDS = 3_000


@dataclass(kw_only=True)
class Failing:
    """Fails from the so-many-th writing on, so many times."""

    error: type[Exception]
    after: int
    times: int
    failed: int = 0

    def __call__(self, note: Note) -> Exception | None:
        """Say how this fails, or None."""
        if note.kind not in (Kind.WRITE, Kind.SYNC):
            return None
        self.after -= 1
        if self.after >= 0 or self.failed >= self.times:
            return None
        self.failed += 1
        return self.error("as the trial has it")


@dataclass(frozen=True, slots=True, kw_only=True)
class Suffered:
    """What is wrong in the end, and how often the disk failed."""

    wrong: list[str]
    failed: int


async def look_after(work: Work) -> None:
    """Let the bay try the journal again, as it does every two seconds."""
    work.clock.wall += MEND_MILLISECONDS
    work.clock.counting += MEND_MILLISECONDS
    await work.look_about()


async def suffer(ground: Ground, chance: random.Random, error: type[Exception]) -> Suffered:
    """Work on a disk that fails for a while; return what came of it."""
    with taped() as tape:
        place = place_in(ground.folder())
        work = await place.take_up()
        await work.prepare()
        hand = Hand(chance=chance, work=work)
        for _ in range(ACTS_BEFORE):
            await hand.act()
        times = chance.choice((1, 2, chance.randint(3, 12), 1_000))
        failing = Failing(error=error, after=chance.randint(0, 20), times=times)
        tape.fails = failing
        for _ in range(ACTS_AFTER):
            await hand.act()
            if chance.random() < 0.4:
                await look_after(work)
        tape.fails = lambda _: None
        killed = chance.random() < 0.5
        if not killed:
            await look_after(work)
            await look_after(work)
            await hand.act()
        saved = work.keeper.not_saved is None
        await work.die()
        again = await place.take_up(work.clock)
        kept = await kept_of(again)
        at_home = again.keeper.not_saved is None and not again.found.branches
        await again.close()
    wrong = []
    if kept != hand.done:
        gone = [each for each in hand.done if each not in kept]
        wrong.append(f"acknowledged and gone: {gone}; there: {len(kept)} of {len(hand.done)}")
    if not at_home:
        wrong.append(f"not joined: {again.found.branches}")
    if not killed and not saved:
        wrong.append("the disk works again, and it is still not saved")
    said = [f"{each} (fault {failing.failed} times, killed {killed})" for each in wrong]
    return Suffered(wrong=said, failed=failing.failed)


def errors(ground: Ground) -> Iterator[Tried]:
    """Let the disk fail in each way."""
    for name, error in ERRORS.items():
        chance = ground.chance(f"errors {name}")
        tried = Tried(what=f"{name}, at any write or sync of a bay's journal")
        failed = 0
        for _ in range(ground.times(long=200, short=6)):
            tried.times += 1
            try:
                found = asyncio.run(suffer(ground, chance, error))
            except ReadbellError as broken:
                tried.fail(f"{type(broken).__name__}: {broken}")
                continue
            failed += found.failed
            for each in found.wrong:
                tried.fail(each)
        tried.note = f"the disk failed {failed:,} times"
        tried.expect(failed > 0, "the disk never failed")
        yield tried


TRIALS = [Trial(name="errors", title="Errors of the disk", run=errors)]
