"""What an attempt came to: everything that was done, held against the assay and the scenario.

It is worked out from the events of the journal and what they add up to, and from the scenario,
which alone knows what each strip showed. The same record gives the same score.
"""

from __future__ import annotations

from collections import Counter
from dataclasses import field
from typing import TYPE_CHECKING

from readbell.core.cartridge.events import (
    CartridgeLabelled,
    CartridgeLapsed,
    CartridgeRead,
    CartridgeVoided,
    EarlyPositiveSeen,
    How,
    StepDone,
)
from readbell.core.instant import Instant, Span, between, later
from readbell.core.made_later import dataclass
from readbell.core.reading.interpretation import Outcome
from readbell.core.rehearsal.labels import as_labelled
from readbell.core.rehearsal.practise import to_practise
from readbell.core.rehearsal.score_devices import bad_devices, begun_bad, caught_devices, given_up
from readbell.core.rehearsal.score_marks import Area, Kept, Slip
from readbell.core.rehearsal.score_pace import pace
from readbell.core.rehearsal.score_people import left_over, nobodys
from readbell.core.rehearsal.score_reading import (
    Counted,
    early_mistakes,
    readings,
    rightly_seen_early,
)
from readbell.core.rehearsal.score_safety import absences, questions, refused, unanswered
from readbell.core.rehearsal.score_taken_back import without_taken_back
from readbell.core.rehearsal.score_timing import gloves, lane_of, late_and_lost, times_of
from readbell.core.rehearsal.truth import right_outcomes, seen_at
from readbell.core.rehearsal.unfinished import Unfinished, unfinished

if TYPE_CHECKING:
    from collections.abc import Iterator, Sequence

    from readbell.core.board.board import Board
    from readbell.core.board.event import Event
    from readbell.core.cartridge.cartridge import Cartridge
    from readbell.core.practice.assist import Assist
    from readbell.core.rehearsal.practise import Practise
    from readbell.core.rehearsal.scenario import Difficulty, Interruption, Scenario
    from readbell.core.rehearsal.score_marks import Asked, Lane, Mistake, Timed
    from readbell.core.rehearsal.score_pace import Pace
    from readbell.core.rehearsal.score_reading import Readings

SLOW = 1.25
"""An attempt that takes so many times as long as the best plan could have been begun sooner."""
_OnCartridge = CartridgeLabelled | StepDone | EarlyPositiveSeen | CartridgeRead | CartridgeVoided


@dataclass(frozen=True, slots=True, kw_only=True)
class EarlyLooks:
    """What early looks were used for."""

    taken: int
    """Positives seen early, and rightly."""
    wrong: int
    """Positives taken early from a strip that did not show them."""
    refused: int
    """Looks that were too early, showed no line, or came once the window was open."""
    could: int
    """Strips that showed a line before their window, where the assay gives leave to look."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Score:
    """One attempt, scored. There is no single mark: a safe hand is not made of a quick one."""

    title: str
    goal: str
    teaching: str
    difficulty: Difficulty | None
    assist: Assist | None
    """How much help there was; None: the record does not say."""
    trainee: str | None = field(repr=False)
    starts: Instant
    ends: Instant
    people: int
    """How many are to be tested in it."""
    unfinished: Unfinished
    """What was still to come or to be done when it was left."""
    operators: tuple[str, ...] = field(repr=False)
    cartridges: int
    accepted: int
    """Acts on cartridges that were taken."""
    made_sure: tuple[tuple[How, int], ...]
    """How often which cartridge it is was scanned, typed or picked from a list, in that order."""
    times: tuple[Timed, ...]
    looks: EarlyLooks
    readings: Readings
    mistakes: tuple[Mistake, ...]
    """All of them, in the order of time."""
    caught: tuple[str, ...]
    """Labels of bad devices that were given up."""
    flawed: int
    """How many bad devices were begun."""
    asked: tuple[Asked, ...]
    stated: int
    """Steps that were entered afterwards."""
    taken_back: int
    """How often something was confirmed that had not been done, and was taken back."""
    pace: Pace
    lanes: tuple[Lane, ...]
    """In the order of the labels."""
    acts: tuple[tuple[str, Instant, str, str], ...] = field(repr=False)
    """Operator, instant, label and step (`label` and `read` among them) of all that was done."""
    interruptions: tuple[Interruption, ...]
    """What broke in before it ended."""
    practise: tuple[Practise, ...]

    @property
    def waits(self) -> Counted:
        """Waits of the assay that were kept, of those that were timed."""
        timed = [each for each in self.times if not each.reads and each.kept is not Kept.STATED]
        return Counted(right=sum(each.kept is Kept.KEPT for each in timed), of=len(timed))

    @property
    def windows(self) -> Counted:
        """Read windows in which the strip was read, of all that came to an end."""
        reads = [each for each in self.times if each.reads]
        return Counted(right=sum(each.kept is not Kept.LOST for each in reads), of=len(reads))

    @property
    def windows_lost(self) -> int:
        """How many windows closed unread."""
        return sum(each.code == Slip.WINDOW_LOST for each in self.mistakes)

    def of_area(self, area: Area, *, refused: bool | None = None) -> tuple[Mistake, ...]:
        """Return the mistakes about `area`; only those that were refused, or were not, if asked."""
        return tuple(
            each
            for each in self.mistakes
            if each.area is area and (refused is None or each.refused is refused)
        )

    @property
    def took(self) -> Span:
        """From the start to the last thing on record."""
        return between(self.starts, self.ends)


def score(scenario: Scenario, board: Board, events: Sequence[Event]) -> Score:
    """Return what the attempt in a record came to.

    Args:
        scenario: what was played; it alone knows what the strips showed.
        board: what the record adds up to.
        events: all of it, in order; the first says when the attempt began.
    """
    scenario = as_labelled(scenario, board.labels)
    starts = events[0].at if events else Instant(0)
    ends = events[-1].at if events else starts
    cartridges = tuple(board.in_order())
    read = readings(scenario, board, cartridges)
    asked = questions(scenario, events, starts, ends)
    done = without_taken_back(events)
    lapsed = {each.cartridge: each.at for each in events if isinstance(each, CartridgeLapsed)}
    mistakes = _mistakes(scenario, board, events, read, asked)
    stated = sum(mark.done.stated for each in cartridges for mark in each.marks)
    went = pace(scenario, board, cartridges, starts)
    # A repeat takes its own quarter of an hour, and no plan knows of it.
    repeats = any(each.labelled.repeat_of is not None for each in cartridges)
    slow = went.is_over(SLOW) and not repeats and len(cartridges) <= len(scenario.persons)
    practice = board.practice
    return Score(
        title=scenario.title,
        goal=scenario.goal,
        teaching=scenario.teaching,
        difficulty=scenario.difficulty,
        assist=None if practice is None else practice.assist,
        trainee=None if practice is None or practice.trainee is None else practice.trainee.value,
        starts=starts,
        ends=ends,
        people=len(scenario.persons),
        unfinished=unfinished(scenario, board, events, starts, ends),
        operators=scenario.operators,
        cartridges=len(cartridges),
        accepted=sum(isinstance(each, _OnCartridge) for each in done),
        made_sure=_made_sure(done),
        times=tuple(each for cartridge in cartridges for each in times_of(cartridge)),
        looks=_looks(scenario, board, cartridges, mistakes),
        readings=read,
        mistakes=mistakes,
        caught=caught_devices(scenario, board, cartridges),
        flawed=begun_bad(scenario, board, cartridges),
        asked=asked,
        stated=stated,
        taken_back=sum(len(each.taken_back) for each in cartridges),
        pace=went,
        lanes=tuple(lane_of(each, board, lapsed.get(each.id)) for each in cartridges),
        acts=tuple(_acts(done, board)),
        interruptions=scenario.broken_in(between(starts, ends)),
        practise=to_practise(mistakes, stated=stated, slow=slow),
    )


def _mistakes(
    scenario: Scenario,
    board: Board,
    events: Sequence[Event],
    read: Readings,
    asked: Sequence[Asked],
) -> tuple[Mistake, ...]:
    """Return every mistake, in the order of time."""
    starts, ends = events[0].at if events else Instant(0), events[-1].at if events else Instant(0)
    cartridges = tuple(board.in_order())
    found = (
        *refused(events, board),
        *late_and_lost(cartridges, board, _asleep(scenario, starts)),
        *gloves(cartridges, board),
        *read.mistakes(),
        *early_mistakes(scenario, board, cartridges),
        *bad_devices(scenario, board, cartridges),
        *nobodys(scenario, board, cartridges),
        *absences(scenario, board, without_taken_back(events), starts),
        *unanswered(scenario, asked),
        *left_over(scenario, board, starts, ends),
    )
    mistaken = frozenset(each.cartridge for each in found if not each.refused)
    found += (*given_up(scenario, board, cartridges, starts, mistaken),)
    return tuple(sorted(found, key=lambda each: each.at))


def _asleep(scenario: Scenario, starts: Instant) -> list[tuple[Instant, Instant]]:
    return [(later(starts, each.shut), later(starts, each.open)) for each in scenario.naps]


def _made_sure(events: Sequence[Event]) -> tuple[tuple[How, int], ...]:
    found = Counter(
        each.identified.cartridge
        for each in events
        if isinstance(each, (StepDone, EarlyPositiveSeen, CartridgeRead))
    )
    return tuple((how, found[how]) for how in How)


def _acts(events: Sequence[Event], board: Board) -> Iterator[tuple[str, Instant, str, str]]:
    for event in events:
        if isinstance(event, _OnCartridge):
            found = board.cartridge(event.cartridge)
            label = "" if found is None else found.label
            yield board.name(event.by) or "", event.at, label, _did(event)


def _did(event: _OnCartridge) -> str:
    match event:
        case CartridgeLabelled():
            return "label"
        case StepDone():
            return event.step
        case EarlyPositiveSeen():
            return "look"
        case CartridgeRead():
            return "read"
        case _:
            return "void"


def _looks(
    scenario: Scenario,
    board: Board,
    cartridges: Sequence[Cartridge],
    mistakes: Sequence[Mistake],
) -> EarlyLooks:
    taken, wrong = rightly_seen_early(scenario, board, cartridges)
    return EarlyLooks(
        taken=taken,
        wrong=wrong,
        refused=sum(each.refused and each.look for each in mistakes),
        could=sum(_could_be_seen_early(scenario, board, each) for each in cartridges),
    )


def _could_be_seen_early(scenario: Scenario, board: Board, cartridge: Cartridge) -> bool:
    """Say whether the strip of `cartridge` shows a line in the last instant before its window."""
    applied, rules = cartridge.applied, cartridge.assay.reading
    if applied is None or rules.early_from is None:
        return False
    last = Instant(applied.said + rules.opens - 1)
    right = right_outcomes(cartridge, seen_at(scenario, board, cartridge, last))
    return any(each.outcome is Outcome.POSITIVE for each in right)
