"""Twelve hours of a busy bay, its board painted throughout: no more memory, and the same record."""

from __future__ import annotations

import json
import os
import select
import sys
from itertools import pairwise
from typing import TYPE_CHECKING

from board_program.conftest import Place
from patience import PATIENCE_SECONDS
from torture.alarmed import trying
from torture.trial import Ground, Trial, Tried
from ui.terminal_for_tests import now

if TYPE_CHECKING:
    from collections.abc import Iterator
    from pathlib import Path

    from board_program.bench import Bench

HOURS = 12
APART_SECONDS = 75
"""Between two people; each has about two minutes of somebody's hands."""
PACE, QUICK = 120.0, 240.0
"""Times as fast as a real day: for long, and with the tests."""
WARM = 60
"""Minutes after which everything that is loaded once has been."""
MOST_MORE = 12 * 1024 * 1024
"""Bytes. The record of the day itself grows; what is painted must not."""
LEAST_FRAMES = 1
"""For each minute of the day."""
HEAD = """\
title = "A day of a drive-through"
starts = 2026-05-05T07:00:00+00:00
timezone = "Europe/London"
assay = "respiratory-antigen-nasal"
[[lot]]
number = "L-204"
expires = 2027-01-01
"""


def day(minutes: int) -> str:
    """Return a scenario in which people come all the time, every tenth of them positive."""
    parts = [HEAD]
    parts += [f'[[operator]]\nid = "op-{each}"\n' for each in range(3)]
    for number in range(minutes * 60 // APART_SECONDS):
        at, seconds = divmod(number * APART_SECONDS, 60)
        hours, at = divmod(at, 60)
        parts.append(
            f'[[person]]\nid = "P-{number:04}"\narrives = "{hours}:{at:02}:{seconds:02}"\n'
        )
        if number % 10 == 0:
            parts.append('[person.bands]\ntest = { from = "5:00", strength = "faint" }\n')
    return "".join(parts)


def drain(bench: Bench, patience: float) -> int:
    """Take all that is painted until the program ends; return how many bytes it was."""
    end, count = now() + patience, 0
    while bench.process.poll() is None and now() < end:
        if select.select([bench.master], [], [], 0.2)[0]:
            try:
                count += len(os.read(bench.master, 1 << 18))
            except OSError:
                break
    bench.process.wait(PATIENCE_SECONDS)
    return count


def whole_day(ground: Ground) -> Iterator[Tried]:
    """Play the day with its board, then without; compare what both wrote down."""
    minutes = ground.times(long=HOURS * 60, short=8)
    pace = PACE if ground.long else QUICK
    tried = Tried(what=f"{HOURS} simulated hours of a busy bay with its board")
    place = Place(ground.folder())
    scenario, notes = place.folder / "day.toml", place.folder / "notes"
    scenario.write_text(day(minutes), "utf-8")
    place.journal.parent.mkdir()
    with trying(tried):
        try:
            words = [str(each) for each in (scenario, place.journal, notes)]
            bench = place.start(
                [sys.executable, "-m", "torture.long_day", *words, str(pace)], size=(120, 40)
            )
            painted = drain(bench, patience=PATIENCE_SECONDS + 4 * minutes * 60 / PACE)
            tried.expect(bench.process.returncode == 0, f"it ended with {bench.process.returncode}")
            noted = [json.loads(line) for line in notes.read_text("ascii").splitlines()]
            judge(tried, noted, minutes, strict=ground.long)
            tried.note += f", {painted / 1e6:.0f} MB painted"
            tried.expect(place.run("verify").returncode == 0, "the journal is not whole")
            tried.expect(
                head_of(place, place.journal) == head_without(place, scenario), "other acts"
            )
        finally:
            place.close()
    yield tried


def judge(tried: Tried, noted: list[dict[str, float]], minutes: int, *, strict: bool) -> None:
    """Look for a stretch without a picture, and for memory that grows.

    Unless it is `strict`, it is known of this machine that it may stand still while the day goes
    on: a picture is owed then for each second that the board found the time to count.
    """
    for before, after in pairwise(noted):
        frames = after["frames"] - before["frames"]
        long = after["minutes"] - before["minutes"]
        owed = LEAST_FRAMES * long if strict else after["beats"] - before["beats"]
        tried.expect(frames >= owed, f"{frames} of {owed:.0f} pictures in {long:.0f} minutes")
    tried.expect(noted[-1]["beats"] > 0, "it never counted a second")
    tried.expect(noted[-1]["minutes"] >= minutes - 10, f"it got to minute {noted[-1]['minutes']}")
    warm = next((each for each in noted if each["minutes"] >= WARM), noted[-1])
    more = noted[-1]["memory"] - warm["memory"]
    tried.expect(more <= MOST_MORE, f"{more / 2**20:.1f} MB more than after {WARM} minutes")
    tried.note = (
        f"{noted[-1]['cartridges']:.0f} cartridges, {noted[-1]['frames']:,.0f} pictures; "
        f"{warm['memory'] / 2**20:.1f} MB after an hour, {more / 2**20:+.1f} MB at the end, "
        f"of at most {MOST_MORE / 2**20:.0f} allowed"
    )


def head_of(place: Place, journal: Path) -> str:
    """Return the end of the chain in a journal."""
    done = place.run("verify", "--json")
    found: dict[str, str] = json.loads(done.stdout)
    assert found["journal"] == str(journal)
    return found["head"]


def head_without(place: Place, scenario: Path) -> str:
    """Return the end of the chain when the same day is played with no board."""
    kept = place.journal
    place.journal = kept.with_name("without.journal")
    try:
        done = place.run("rehearse", str(scenario), "--unattended", "--json")
        assert done.returncode == 0, done.stderr
        return head_of(place, place.journal)
    finally:
        place.journal = kept


TRIALS = [Trial(name="hours", title="A whole day", run=whole_day)]
