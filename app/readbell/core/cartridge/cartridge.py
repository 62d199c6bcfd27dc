"""What is known of one cartridge at one moment of the record."""

from __future__ import annotations

from typing import TYPE_CHECKING

from readbell.core.cartridge.stage import ENDS, Stage
from readbell.core.instant import Instant, Span, later
from readbell.core.made_later import dataclass
from readbell.core.review.reasons import HoldReason

if TYPE_CHECKING:
    from readbell.core.assay.assay import Assay
    from readbell.core.assay.step import Step, Wait
    from readbell.core.cartridge.events import (
        AlertKind,
        CartridgeLabelled,
        CartridgeRead,
        CartridgeVoided,
        Deviation,
        EarlyPositiveSeen,
        ReadingCorrected,
        ResultAmended,
        StepTakenBack,
    )
    from readbell.core.cartridge.moment import Done
    from readbell.core.reading.interpretation import LineOutcome, Outcome
    from readbell.core.review.events import ReadingHeld, ReadingReleased, ResultWithdrawn


@dataclass(frozen=True, slots=True, kw_only=True)
class StepMark:
    """One step that was done, and when."""

    step: str
    done: Done
    by: str
    together: bool = False
    """Confirmed with its neighbours by one act."""
    doubted: Instant | None = None
    """From here on nobody can say how long ago it was: a limit since then counts as passed."""
    at: Instant | None = None
    """When it was confirmed."""


@dataclass(frozen=True, slots=True, kw_only=True)
class TakenBack:
    """What was confirmed by mistake, as the cartridge had it until that was said."""

    event: StepTakenBack
    marks: tuple[StepMark, ...]
    deviations: tuple[Deviation, ...]
    """Those that came with it."""


@dataclass(frozen=True, slots=True, kw_only=True)
class RunningWait:
    """A wait that was begun and that no step has ended yet."""

    step: str
    """The step that began it."""
    least: Span
    over: Instant
    """When its least has surely passed."""
    limit: Instant | None
    """When its most may have passed; None where none is stated."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Cartridge:
    """One test device; a value, replaced as events arrive."""

    labelled: CartridgeLabelled
    assay: Assay
    ordinal: int
    """Its place in the order of labelling, from 1."""
    stage: Stage = Stage.LABELLED
    """The recorded stage; `stage_at` adds what time alone has changed since."""
    marks: tuple[StepMark, ...] = ()
    specimen: str | None = None
    deviations: tuple[Deviation, ...] = ()
    early_looks: tuple[EarlyPositiveSeen, ...] = ()
    reading: CartridgeRead | None = None
    """The reading as it was first entered, at its instant."""
    corrections: tuple[ReadingCorrected, ...] = ()
    """What its reader mended in it since; the last one counts."""
    second: CartridgeRead | None = None
    """The reading by a second person, where one was asked for."""
    amendments: tuple[ResultAmended, ...] = ()
    """What a supervisor said anew since; the last one counts."""
    voided: CartridgeVoided | None = None
    outcomes: tuple[LineOutcome, ...] = ()
    """One for each analyte once the cartridge was read or has lapsed."""
    outcome: Outcome | None = None
    raised: frozenset[tuple[AlertKind, str]] = frozenset()
    """Alerts already announced, with the step whose wait they are about."""
    taken_back: tuple[TakenBack, ...] = ()
    """What was confirmed and had not been done; none of it counts for anything."""
    unsure: bool = False
    """The clock may have lied since the drops: no outcome may come of it as it is."""
    restated: bool = False
    """It was unsure, and two people said since when the drops fell."""
    held: tuple[HoldReason, ...] = ()
    """Why its reading, made or to come, waits for a supervisor now."""
    holds: tuple[ReadingHeld, ...] = ()
    """Every time it was held, released since or not."""
    releases: tuple[ReadingReleased, ...] = ()
    withdrawn: ResultWithdrawn | None = None
    """Then it has no outcome any more; what was seen stays in its looks and its reading."""

    @property
    def id(self) -> str:
        """The opaque id; the label on the plastic is unique within a shift only."""
        return self.labelled.cartridge

    @property
    def label(self) -> str:
        """The short name written on the plastic."""
        return self.labelled.label

    @property
    def has_ended(self) -> bool:
        """Whether the record says that nothing more is done to it."""
        return self.stage in ENDS

    @property
    def awaits_second(self) -> bool:
        """Whether it was read once, and somebody else has to read it before anything comes of it."""
        return self.stage is Stage.SECOND_READING_DUE

    @property
    def is_read_on_both_sides(self) -> bool:
        """Whether two stations that did not reach each other looked at it: a person decides alone."""
        return any(HoldReason.READ_ON_BOTH_SIDES in each.reasons for each in self.holds)

    @property
    def shown_early(self) -> tuple[EarlyPositiveSeen, ...]:
        """What was seen early, as far as it may be shown: a second reader learns of nothing."""
        return () if self.awaits_second else self.early_looks

    @property
    def last_mark(self) -> StepMark:
        """The step done last; the label counts as one."""
        return self.marks[-1]

    @property
    def last_act(self) -> Instant:
        """When somebody last did something with it: a step, a reading, its end by hand.

        Time may have ended it since: a window closed.
        """
        others = (self.reading, self.second, self.voided, self.withdrawn)
        times = [self.last_mark.done.latest]
        return max(times + [each.at for each in others if each is not None])

    @property
    def next_step(self) -> Step | None:
        """The step that is due, or None once the specimen is on the well."""
        return self.assay.step_after(self.last_mark.step)

    @property
    def applied(self) -> Done | None:
        """When the specimen was put on the well: time zero of the read window."""
        mark = self.last_mark  # asked some times a second of each: no step is looked for
        return mark.done if mark.step == self.assay.last_step.key else None

    @property
    def early_lines(self) -> tuple[str, ...]:
        """Analytes that stand as positive from an early look, in the device's order."""
        seen = {line for look in self.early_looks for line in look.lines}
        return tuple(line for line in self.assay.line_keys if line in seen)

    @property
    def running_waits(self) -> tuple[RunningWait, ...]:
        """The waits that run, in the order in which they were begun."""
        if self.has_ended or self.applied is not None:
            return ()  # the step that ends a wait is an earlier one than the drops, or is the drops
        return tuple(
            RunningWait(
                step=mark.step,
                least=wait.least,
                over=later(mark.done.latest, wait.least),
                limit=limit_of(mark, wait),
            )
            for mark in self.marks
            if (step := self.assay.step(mark.step)) is not None
            and (wait := step.wait) is not None
            and self.mark_of(wait.until) is None
        )

    def mark_of(self, step: str) -> StepMark | None:
        """Return the mark of `step`, or None while it is not done."""
        return next((mark for mark in self.marks if mark.step == step), None)


def limit_of(mark: StepMark, wait: Wait) -> Instant | None:
    """Return when the most of `wait`, begun by `mark`, may have passed; None if none is stated."""
    if wait.most is None:
        return None
    known = later(mark.done.earliest, wait.most)
    return known if mark.doubted is None else min(known, mark.doubted)
