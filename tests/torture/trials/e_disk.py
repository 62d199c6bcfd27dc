"""The disk and its files are taken from a real bay while it works, and given back.

A hand acts before, during and after. What was acknowledged is in the journal at
the end, or in a file beside it that the next start tells of.
"""

from __future__ import annotations

import errno
import os
import resource
import shutil
import subprocess
import sys
import time
from concurrent.futures import ThreadPoolExecutor
from contextlib import contextmanager
from typing import TYPE_CHECKING

from patience import PATIENCE_SECONDS
from torture.at_work import ACTS, Work, at_work
from torture.processes import LINUX, Site, now, site
from torture.stored import stored_in
from torture.trial import Ground, Trial, Tried

if TYPE_CHECKING:
    from collections.abc import Callable, Iterator
    from pathlib import Path

SMALL_DISK = "16m"
"""Twice what the program wants free."""
LONG_NAME = 60


def log(place: Site) -> Path:
    """Where the write-ahead log stands."""
    return place.journal.with_name(f"{place.journal.name}-wal")


def away_and_back(ground: Ground, tried: Tried) -> None:
    """The journal is renamed, and named back."""
    with at_work(ground, tried) as work:
        work.drops()
        work.place.journal.rename(work.place.disk / "away")
        work.act(1)
        work.bay.until_saved(saved=False)
        work.act()
        work.bay.until_alarm()
        (work.place.disk / "away").rename(work.place.journal)
        work.bay.until_saved(saved=True)
        work.act()
        work.bay.kill()
        work.all_there()


def deleted(ground: Ground, tried: Tried) -> None:
    """The journal is deleted: what comes after is beside it, and the next start says so."""
    with at_work(ground, tried) as work:
        gone = list(work.acknowledged)
        work.place.journal.unlink()
        log(work.place).unlink()
        work.act()
        beside = work.beside()
        told = work.restart()
        tried.expect(any(each.get("news") == "branch" for each in told), f"not told: {told}")
        work.acknowledged = [each for each in work.acknowledged if each not in gone]
        work.all_there(also=beside)


def cut_in_use(ground: Ground, tried: Tried) -> None:
    """The journal is cut to nothing while it is in use; its log has the day, and is kept."""
    with at_work(ground, tried) as work:
        os.truncate(work.place.journal, 0)
        kept = log(work.place).read_bytes()
        work.act()
        beside = work.beside()
        tried.expect(len(set(work.acknowledged) & set(beside)) == ACTS, "not all is beside it")
        work.bay.kill()
        work.bay = work.place.start()
        status = work.bay.wait()
        tried.expect(status == 2, f"it was taken up: {status}")
        tried.expect(log(work.place).read_bytes() == kept, "its log was changed")


def log_away(ground: Ground, tried: Tried) -> None:
    """The write-ahead log is moved away; the journal without it has everything."""
    with at_work(ground, tried) as work:
        log(work.place).rename(work.place.disk / "away")
        work.act()
        told = work.restart()
        tried.expect(not any(each.get("news") == "branch" for each in told), f"told: {told}")
        work.act()
        work.bay.kill()
        work.all_there()


def log_cut(ground: Ground, tried: Tried) -> None:
    """The write-ahead log is cut: what comes after is beside it, and the next start says so."""
    with at_work(ground, tried) as work:
        gone = list(work.acknowledged)
        os.truncate(log(work.place), log(work.place).stat().st_size // 2)
        work.act()
        beside = work.beside()
        told = work.restart()
        tried.expect(any(each.get("news") == "branch" for each in told), f"not told: {told}")
        work.acknowledged = [each for each in work.acknowledged if each not in gone]
        work.all_there(also=beside)


def copied_without_log(ground: Ground, tried: Tried) -> None:
    """A copy of the one file without its log is whole as far as it goes, and a noted head tells."""
    with at_work(ground, tried) as work:
        work.restart()
        before = len(work.acknowledged)
        work.act()
        head = work.place.verify().stdout.partition('"head": "')[2][:64]
        copy = work.place.disk / "copy.journal"
        shutil.copy(work.place.journal, copy)
        alone = work.place.run("verify", "--journal", str(copy))
        noted = work.place.run("verify", "--journal", str(copy), "--head", head)
        tried.expect(alone.returncode == 0, f"alone: {alone.stderr}")
        tried.expect(noted.returncode == 1, f"with the head noted: {noted.stdout}")
        persons = stored_in(copy).of("person-registered")
        tried.expect(len(persons) >= before, "what stood before the last start is not in it")
        work.bay.kill()
        work.all_there()


def locked(ground: Ground, tried: Tried) -> None:
    """Another process holds the journal, and lets go of it."""
    holder = (
        "import apsw, sys; c = apsw.Connection(sys.argv[1]); c.execute('BEGIN IMMEDIATE');"
        "print('held', flush=True); sys.stdin.read()"
    )
    with at_work(ground, tried) as work:
        with subprocess.Popen(
            [sys.executable, "-c", holder, str(work.place.journal)],
            stdin=subprocess.PIPE,
            stdout=subprocess.PIPE,
        ) as other:
            assert other.stdout is not None
            other.stdout.readline()
            begun = now()
            work.act(1)
            slowest = now() - begun
            work.act()
            other.kill()
        work.bay.until_saved(saved=True)
        work.act()
        work.bay.kill()
        work.all_there()
        tried.expect(slowest < 3 or not ground.long, f"the act took {slowest:.1f} s")


def second_programs(ground: Ground, tried: Tried) -> None:
    """Several programs start at once on one journal: one has it, the others say so."""
    tried.times += 1
    with site(ground.folder()) as place:
        bays = [place.start() for _ in range(4)]
        end = now() + PATIENCE_SECONDS
        while sum(each.process.poll() is not None for each in bays) < 3 and now() < end:
            time.sleep(0.02)
        left = [each for each in bays if each.process.poll() is None]
        tried.expect(len(left) == 1, f"{len(left)} programs have it")
        for each in bays:
            if each not in left:
                status = each.wait()
                said = "".join(each.complaints)
                tried.expect(status == 2 and "another readbell" in said, f"{status}: {said}")
        work = Work(place=place, tried=tried, bay=left[0])
        place.prepare(work.bay)
        work.act()
        work.bay.kill()
        work.all_there()


def no_more_bytes(ground: Ground, tried: Tried) -> None:
    """No file may grow beyond a limit: what the journal cannot take goes beside it."""
    limit = 96 * 1024

    def limited() -> None:
        resource.setrlimit(resource.RLIMIT_FSIZE, (limit, limit))

    with at_work(ground, tried, before=limited) as work:
        work.padding = LONG_NAME
        work.act(40)
        tried.expect(bool(work.beside()), "nothing had to go beside it")
        told = work.restart()
        tried.expect(not any(each.get("news") == "branch" for each in told), f"told: {told}")
        work.padding = 0
        work.act()
        work.bay.kill()
        work.all_there()


@contextmanager
def small_disk(folder: Path) -> Iterator[bool]:
    """Put a disk of its own under `folder`, where that may be done; give whether it was."""
    if not LINUX or os.geteuid() != 0 or shutil.which("mount") is None:
        yield False
        return
    mount = ["mount", "-t", "tmpfs", "-o", f"size={SMALL_DISK}", "torture", str(folder)]
    if subprocess.run(mount, capture_output=True, check=False).returncode != 0:
        yield False
        return
    try:
        yield True
    finally:
        subprocess.run(["umount", "-l", str(folder)], capture_output=True, check=False)  # noqa: S607


def fill(folder: Path) -> Path:
    """Leave no room on the disk of `folder`; return the file that takes it."""
    ballast = folder / "ballast"
    with ballast.open("wb", buffering=0) as file:
        for chunk in (1 << 20, 1 << 12, 1):
            try:
                while True:
                    file.write(bytes(chunk))
            except OSError as error:
                if error.errno != errno.ENOSPC:
                    raise
    return ballast


def full(ground: Ground, tried: Tried) -> None:
    """The journal's disk is full, with room on another; then there is room again."""
    with site(ground.folder()) as place, small_disk(place.disk) as can:
        if not can:
            skip(tried, "needs a small disk of its own, which only root can make")
            return
        tried.times += 1
        work = Work(place=place, tried=tried, bay=place.start())
        place.prepare(work.bay)
        work.act()
        work.drops()
        ballast = fill(place.disk)
        work.padding = LONG_NAME
        work.act(30)
        tried.expect(bool(work.beside()), "nothing had to go beside it")
        work.bay.until_alarm()
        ballast.unlink()
        work.bay.until_saved(saved=True)
        work.act()
        work.bay.kill()
        work.all_there()
        place.close()


def nowhere(ground: Ground, tried: Tried) -> None:
    """Every disk is full: acts are refused, what was acknowledged stays, the alarm rings."""
    with site(ground.folder()) as place, small_disk(place.disk) as can:
        if not can:
            skip(tried, "needs a small disk of its own, which only root can make")
            return
        tried.times += 1
        everywhere = {f"XDG_{name}_HOME": str(place.disk / name) for name in ("STATE", "CACHE")}
        work = Work(place=place, tried=tried, bay=place.start(environment=everywhere))
        place.prepare(work.bay)
        work.act()
        work.drops()
        ballast = fill(place.disk)
        work.padding = LONG_NAME
        work.act(30)
        tried.expect(work.refused > 0, "acts were acknowledged on a full disk")
        work.bay.until_alarm()
        ballast.unlink()
        work.padding = 0
        work.bay.until_saved(saved=True)
        work.act()
        work.bay.kill()
        work.all_there()
        place.close()


def read_only(ground: Ground, tried: Tried) -> None:
    """The disk cannot be written: a bay says so and ends, and verifying still works."""
    with site(ground.folder()) as place, small_disk(place.disk) as can:
        if not can:
            skip(tried, "needs a small disk of its own, which only root can make")
            return
        tried.times += 1
        work = Work(place=place, tried=tried, bay=place.start())
        place.prepare(work.bay)
        work.act()
        tried.expect(work.bay.leave() == 0, "it did not end well")
        remount = ["mount", "-o", "remount,ro", str(place.disk)]
        subprocess.run(remount, check=True)
        refused = place.start()
        tried.expect(refused.wait() == 2, "it was taken up")
        tried.expect(len(refused.complaints) == 1, f"it said {refused.complaints}")
        done = place.verify()
        tried.expect(done.returncode == 0, f"verify: {done.stdout}{done.stderr}")
        place.close()


def skip(tried: Tried, why: str) -> None:
    """Note that something could not be tried here."""
    tried.skipped, tried.note = True, why


HARM: tuple[tuple[str, Callable[[Ground, Tried], None]], ...] = (
    ("the journal renamed in use, and named back", away_and_back),
    ("the journal and its log deleted in use", deleted),
    ("the journal cut to nothing in use, then killed", cut_in_use),
    ("the write-ahead log moved away in use, then killed", log_away),
    ("the write-ahead log cut in half in use, then killed", log_cut),
    ("the journal copied without its log", copied_without_log),
    ("the journal locked by another process", locked),
    ("four programs started on one journal at once", second_programs),
    ("no file may grow any more (RLIMIT_FSIZE), then killed", no_more_bytes),
    ("the disk full, then not", full),
    ("every disk full, then not", nowhere),
    ("the disk read-only at the start", read_only),
)
SHORT = (cut_in_use, log_away, no_more_bytes, full)
"""What no other test does to a real bay or its journal."""
AT_ONCE = {True: 1, False: 4}
"""The short run waits for several at a time: they mostly wait themselves."""


def disk(ground: Ground) -> Iterator[Tried]:
    """Do each harm, several at once in the short run."""

    def suffer(harm: Callable[[Ground, Tried], None], tried: Tried) -> Tried:
        for _ in range(ground.times(long=10, short=1)):
            try:
                harm(ground, tried)
            except (TimeoutError, AssertionError) as error:
                tried.fail(f"{type(error).__name__}: {error}")
        return tried

    with ThreadPoolExecutor(AT_ONCE[ground.long]) as several:
        waiting = [
            several.submit(suffer, harm, Tried(what=name))
            for name, harm in HARM
            if ground.long or harm in SHORT
        ]
        for each in waiting:
            yield each.result()


TRIALS = [Trial(name="disk", title="Disk and files of a real bay", run=disk)]
