"""The next safe start in words: when, by which rule, what comes first, and what each hand does."""

from __future__ import annotations

from typing import TYPE_CHECKING, assert_never

from readbell.core.instant import Span, between, earlier
from readbell.core.plan.answer import NEW, Answer, Rule
from readbell.core.plan.conditions import Condition
from readbell.core.plan.hands_on import READING
from readbell.core.plan.spare import MOST_SPARE
from readbell.core.span_text import write_left, write_span
from readbell.phrases.board_words import NAMED
from readbell.phrases.plan_guide import say_guide, say_pauses

if TYPE_CHECKING:
    from collections.abc import Iterator, Sequence

    from readbell.core.board.board import Board
    from readbell.core.instant import Instant
    from readbell.core.plan.agenda import Agenda, Entry
    from readbell.core.plan.bench import Task
    from readbell.core.plan.conditions import Broken
    from readbell.core.plan.next_start import Start
    from readbell.phrases.clock_time import ClockFace

RULES: dict[Rule, str] = {Rule.GUARANTEED: "guaranteed", Rule.ADVICE: "advice"}
NO_ASSAY = "Next safe start: no assay is adopted yet."
NONE_IN_SIGHT = "none in sight"


def say_unknown(board: Board) -> str:
    """Return why there is no answer at all."""
    if not board.assays:
        return NO_ASSAY
    return f"Next safe start: not worked out with {len(board.running)} running at once."


def say_start(found: Answer, board: Board, now: Instant) -> tuple[str, ...]:
    """Return the answer in fewer and fewer words, for a place that may be narrow."""
    rule = RULES[found.rule]
    when = _when(found.start, now)
    first = _first(found.start, board)
    because = f", {first} first" if first else ""
    return (
        f"Next safe start: {when}{_must(found.start, board)} ({rule})",
        f"Next safe start: {when}{because} ({rule})",
        f"Next safe start: {when} ({rule})",
        f"start: {when} ({rule})",
        f"start: {when}",
    )


def say_start_and_advice(found: Answer, board: Board, now: Instant) -> tuple[str, ...]:
    """Return the same, with what the usual times alone would give where that comes sooner."""
    said = say_start(found, board, now)
    if found.advice is None:
        return said
    return (f"{said[0]}; {_when(found.advice, now)} ({RULES[Rule.ADVICE]})", *said)


def say_risk(found: Answer, board: Board, now: Instant) -> str:
    """Return what would be at risk if somebody were begun at once; empty if nothing would."""
    start = found.start
    if start.is_now(now):
        return ""
    if start.already:
        return f"At risk already: {_risks(start.already, board)}."
    if not start.at_risk:
        return ""
    return f"At risk if somebody were begun now: {_risks(start.at_risk, board)}."


def _risks(tasks: Sequence[Task], board: Board) -> str:
    risks = dict.fromkeys(
        f"{_label(task, board)}'s {'reading' if task.is_reading else 'wait'}" for task in tasks
    )
    return _joined(list(risks))


def _joined(names: Sequence[str]) -> str:
    """Return the first few of `names` as people say them, and how many more there are."""
    more = len(names) - NAMED
    shown = [*names[:NAMED], *([f"{more} more"] if more > 0 else [])]
    *before, last = shown
    return f"{', '.join(before)} and {last}" if before else last


def say_plan(found: Answer, board: Board, now: Instant, face: ClockFace) -> Iterator[str]:
    """Yield the whole answer, a line each: the start, the rule, and the list of each hand."""
    yield from say_reasons(found, board, now, face)
    for head, rows in say_lists(found, board, face):
        yield head
        yield from (f"  {row}" for row in rows)


def say_reasons(found: Answer, board: Board, now: Instant, face: ClockFace) -> Iterator[str]:
    """Yield when the next start is safe, by which rule, and what that hangs on."""
    yield f"{say_start(found, board, now)[0]}."
    yield from say_guide(board, found.course, found.start.at, now, face)
    yield from say_pauses(found.pauses, board, now, face)
    risk = say_risk(found, board, now)
    if risk:
        yield risk
    if found.advice is not None:
        yield f"By usual times alone (advice): {_when(found.advice, now)}."
    for fault in found.broken:
        yield say_broken(fault, board)
    if found.rule is Rule.GUARANTEED:
        yield (
            "Guaranteed: nothing is missed as long as each piece takes no longer than its bound "
            "and the list is kept."
        )
        yield _say_spare(found.spare)
    for each in found.left_out:
        yield f"{each.label} is not counted: its clock is unsure."


def _say_spare(spare: Span) -> str:
    """Return for how long a free hand may turn to something that is on no list."""
    if spare <= Span(0):
        return "No time for an early look or anything else now."
    most = " or more" if spare >= MOST_SPARE else ""
    return f"An early look or anything else now: up to {write_span(spare)}{most}."


def say_lists(
    found: Answer, board: Board, face: ClockFace
) -> Iterator[tuple[str, tuple[str, ...]]]:
    """Yield for each hand who it is, and what is next for it, in order, at the usual times."""
    for place, agenda in enumerate(found.agendas, 1):
        rows = tuple(_entry(each, board, face) for each in agenda.entries)
        yield _whose(place, agenda, board), rows


def say_broken(fault: Broken, board: Board) -> str:
    """Return why there is no guarantee."""
    match fault.condition:
        case Condition.HAS_HANDS:
            return "No guarantee: nobody is at work."
        case Condition.READ_ONCE:
            return (
                "No guarantee: strips of this assay may be read by a second person too, and no "
                "plan counts on that before it is so."
            )
        case Condition.FITS_THE_WAIT:
            what = (
                f"from {_title(fault.since, fault, board)} to {_title(fault.until, fault, board)}"
            )
        case Condition.FITS_IN_ONE_PIECE:
            what = f"between {_title(fault.since, fault, board)} and {_title(fault.until, fault, board)}"
        case _:
            assert_never(fault.condition)
    needs, has = fault.needs or Span(0), fault.has or Span(0)
    return (
        f"No guarantee: {what} may pass {write_span(has)} at most, and these hands may take "
        f"{write_left(needs)}."
    )


def _title(step: str, fault: Broken, board: Board) -> str:
    if step == READING:
        return "the end of the reading"
    adopted = board.assay_called(fault.assay)
    found = None if adopted is None else adopted.assay.step(step)
    return f'"{step if found is None else found.title}"'


def _when(start: Start, now: Instant) -> str:
    if start.at is None:
        return NONE_IN_SIGHT
    return "now" if start.is_now(now) else f"in {write_left(between(now, start.at))}"


def _must(start: Start, board: Board) -> str:
    first = _first(start, board)
    if not first:
        return ""
    tasks = [each.task for each in start.first]
    do = "read" if all(task.is_reading for task in tasks) else "gone on with"
    return f", {first} must be {do} first"


def _first(start: Start, board: Board) -> str:
    labels = dict.fromkeys(_label(each.task, board) for each in start.first)
    return _joined(list(labels)) if labels else ""


def _label(task: Task, board: Board) -> str:
    cartridge = board.cartridge(task.key[0])
    return "the next person" if cartridge is None else cartridge.label


def _whose(place: int, agenda: Agenda, board: Board) -> str:
    name = board.name(agenda.hand.name) or f"operator {place}"
    on = agenda.hand.on
    cartridge = None if on is None else board.cartridge(on[0])
    if cartridge is not None:
        return f"Next for {name}, who has {cartridge.label} in hand:"
    return f"Next for {name}:" if agenda.entries else f"Next for {name}: nothing."


def _entry(entry: Entry, board: Board, face: ClockFace) -> str:
    gloves = "gloves, then " if entry.fresh else ""
    at = face.time_from(earlier(entry.begins, entry.fresh))
    return f"{at}  {gloves}{_work(entry, board)}"


def _work(entry: Entry, board: Board) -> str:
    task = entry.task
    if entry.is_start:
        return "begin the next person"
    if task.key[0] == NEW:
        return f"{'read' if task.is_reading else 'go on with'} the next person"
    label = _label(task, board)
    if task.is_reading:
        return f"read {label}"
    cartridge = board.cartridge(task.key[0])
    titles: Sequence[str] = (
        ()
        if cartridge is None
        else [step.title for step in cartridge.assay.steps if step.key in task.parts]
    )
    return f"{label}: {', '.join(titles)}"
