"""The assay: the kit's instructions for use made machine-readable.

The first step is always the one that starts a cartridge (it is labelled), and
the last one puts the specimen on the well: there development begins.
"""

from __future__ import annotations

from dataclasses import field
from typing import TYPE_CHECKING

from readbell.core.assay.reading_rules import ReadingRules, TestLine
from readbell.core.assay.step import Step, Wait
from readbell.core.instant import Span
from readbell.core.made_later import dataclass
from readbell.core.making import LATER

if TYPE_CHECKING:
    from collections.abc import Iterator


@dataclass(frozen=True, slots=True, kw_only=True)
class Temperatures:
    """Degrees Celsius, both ends inside."""

    storage_least: float
    storage_most: float
    running_least: float
    running_most: float
    warm_up: Span | None = None
    """How long a kit kept cold stands at room temperature before use."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Assay:
    """A test method with its timed procedure, bands and reading rules."""

    id: str
    title: str
    specimen: str
    steps: tuple[Step, ...]
    reading: ReadingRules
    temperatures: Temperatures
    glove_change: Span = Span(20_000)
    clearing_up: str = ""
    """What is done with cartridge, swab and gloves when the work on one person ends."""
    basis: tuple[tuple[str, str], ...] = ()
    """Pairs of figure and where it comes from."""
    open_box_days: int | None = field(default=None, metadata=LATER)
    """So many days after its box was opened a kit is still good; None: no such limit is stated."""
    confidential: bool = field(default=False, metadata=LATER)
    """Whether what is read of it is told to the person alone."""
    specimen_snomed: str | None = field(default=None, metadata=LATER)
    """A code of SNOMED CT for the specimen whose source was seen; None: the words alone leave."""

    @property
    def first_step(self) -> Step:
        """The step that starts a cartridge."""
        return self.steps[0]

    @property
    def last_step(self) -> Step:
        """The step that puts the specimen on the well."""
        return self.steps[-1]

    @property
    def line_keys(self) -> tuple[str, ...]:
        """The analytes, in the order of the device."""
        return tuple(line.key for line in self.reading.lines)

    def step(self, key: str) -> Step | None:
        """Return the step called `key`, or None."""
        return next((step for step in self.steps if step.key == key), None)

    def step_after(self, key: str) -> Step | None:
        """Return the step that follows `key`, or None after the last."""
        keys = [step.key for step in self.steps]
        place = keys.index(key) + 1
        return self.steps[place] if place < len(keys) else None

    def line(self, name: str) -> TestLine | None:
        """Return the line whose key or printed letter is `name`, or None."""
        return next((line for line in self.reading.lines if name in (line.key, line.mark)), None)

    def waits_ending_at(self, key: str) -> Iterator[tuple[Step, Wait]]:
        """Yield each wait that the step `key` ends, with the step that begins it."""
        for step in self.steps:
            if step.wait is not None and step.wait.until == key:
                yield step, step.wait
