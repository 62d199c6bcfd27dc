"""What every trial is: it does harm of one kind, many times, and says what was lost.

A file in `trials/` gives its trials as `TRIALS`; nothing else is to be done to
have them run by `make torture` and, shorter, with the tests.
"""

from __future__ import annotations

import importlib
import os
import random
import tempfile
from contextlib import contextmanager
from dataclasses import dataclass, field
from pathlib import Path
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from collections.abc import Callable, Iterator

TRIALS_FOLDER = Path(__file__).with_name("trials")


@dataclass(kw_only=True)
class Tried:
    """One line of the table: what was tried, how often, and what was lost or wrong."""

    what: str
    times: int = 0
    lost: int = 0
    """How many acknowledged things were gone, or rules broken. None may be."""
    wrong: list[str] = field(default_factory=list)
    """What went wrong, in words, with the number of the try."""
    note: str = ""
    must_lose: bool = False
    """A control: if nothing is lost here, the trial beside it proves nothing."""
    skipped: bool = False
    """It could not be tried on this computer; the note says why."""

    @property
    def held(self) -> bool:
        """Whether it came out as it must."""
        if self.skipped:
            return True
        return self.times > 0 and not self.wrong and (self.lost > 0) is self.must_lose

    def fail(self, what: str, lost: int = 1) -> None:
        """Note that something was lost or wrong."""
        self.lost += lost
        if not self.must_lose:
            self.wrong.append(f"try {self.times}: {what}")

    def expect(self, is_so: bool, what: str) -> None:
        """Note `what` as wrong unless `is_so`."""
        if not is_so:
            self.fail(what)


@dataclass(frozen=True, slots=True, kw_only=True)
class Ground:
    """What a trial is given: its chance, its folders, and how long it may be."""

    seed: int
    long: bool
    top: Path

    def times(self, *, long: int, short: int) -> int:
        """Return how often something is tried."""
        return long if self.long else short

    def chance(self, name: str) -> random.Random:
        """Return the chance that goes with the seed and `name`, always the same."""
        return random.Random(f"{self.seed} {name}")  # noqa: S311  # to be repeated, not to be secret

    def folder(self) -> Path:
        """Return a new folder with a short name."""
        return Path(tempfile.mkdtemp(dir=self.top))


@dataclass(frozen=True, slots=True, kw_only=True)
class Trial:
    """One kind of harm."""

    name: str
    """By which it is chosen on the command line."""
    title: str
    run: Callable[[Ground], Iterator[Tried]]


@contextmanager
def ground(seed: int, *, long: bool) -> Iterator[Ground]:
    """Give a ground whose folders, and with them all it may find or leave, are its own."""
    kept = {name: os.environ.get(name) for name in FOLDERS}
    with tempfile.TemporaryDirectory(prefix="torture-") as top:
        os.environ.update(dict.fromkeys(FOLDERS, top))
        try:
            yield Ground(seed=seed, long=long, top=Path(top))
        finally:
            for name, value in kept.items():
                if value is None:
                    del os.environ[name]
                else:
                    os.environ[name] = value


FOLDERS = (
    "HOME",
    "XDG_DATA_HOME",
    "XDG_STATE_HOME",
    "XDG_CACHE_HOME",
    "XDG_CONFIG_HOME",
)


def every_trial() -> list[Trial]:
    """Return the trials of every file in `trials/`, in the order of the files."""
    found: list[Trial] = []
    for file in sorted(TRIALS_FOLDER.glob("*.py")):
        found += importlib.import_module(f"torture.trials.{file.stem}").TRIALS
    return found
