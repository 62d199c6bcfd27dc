"""What is to be told, who was told what, and why something is told to nobody: in words."""

from __future__ import annotations

from typing import TYPE_CHECKING

from readbell.core.board.owing import spares
from readbell.core.board.repeats import gets_no_repeat, repeat_of
from readbell.core.board.results import result_called
from readbell.core.board.telling import (
    NOTHING_YET,
    TELL_ALONE,
    TELL_CHANGED,
    TELL_HELD,
    TELL_NO_OFFICE,
    TELL_NOT_GUARDIAN,
    TELL_NOT_OTHER,
    TELL_SAMPLE,
    TELL_SECOND,
    TELL_VOID,
)
from readbell.core.board.telling_fold import rule_for
from readbell.core.board.worklist import worklist
from readbell.core.instant import between
from readbell.core.reading.interpretation import overall
from readbell.core.results.telling import Channel, Hearer, Saying, said_of, to_say
from readbell.core.results.to_tell import Urgency
from readbell.core.span_text import write_elapsed, write_left
from readbell.phrases.of_cartridges import OUTCOMES
from readbell.phrases.patient_words import TELL_ALONE as CONFIDENTIAL
from readbell.phrases.review_words import say_new_specimens, say_referral

if TYPE_CHECKING:
    from collections.abc import Iterator, Sequence

    from readbell.core.assay.assay import Assay
    from readbell.core.board.board import Board
    from readbell.core.board.worklist import ToTell
    from readbell.core.instant import Instant
    from readbell.core.reading.interpretation import LineOutcome
    from readbell.core.results.result import Result
    from readbell.core.results.status import ResultStatus
    from readbell.core.results.telling import ResultTold
    from readbell.phrases.clock_time import ClockFace

ERASED = "erased"
PUT_RIGHT = "PUT RIGHT"
NOTHING_TO_TELL = "Nothing is to be told."
TO_REPEAT = "to be repeated with a new specimen"
REPEATED = "nothing of it counts; it was repeated on"
"""Before the label of the cartridge by which it was."""
SPARED = "nothing of it counts, and no repeat is due: the person has"
"""Before the label of what runs, or has a result."""
REFER = "refer"
PRELIMINARY = "preliminary"

HEARERS: dict[Hearer, str] = {
    Hearer.PERSON: "the person",
    Hearer.GUARDIAN: "a parent or guardian",
    Hearer.OTHER: "somebody the person named",
    Hearer.OFFICE: "the office",
}
CHANNELS: dict[Channel, str] = {
    Channel.SPOKEN: "face to face",
    Channel.PHONE: "by phone",
    Channel.SLIP: "on paper",
    Channel.MESSAGE: "by message",
}

NOT_ALLOWED: dict[str, str] = {
    NOTHING_YET: "Nothing was read of {cartridge} yet. Read it in its window, then tell it.",
    TELL_HELD: (
        "{cartridge} is held for review and told to nobody yet. "
        "Ask a supervisor to release it or to take it back."
    ),
    TELL_SECOND: (
        "{cartridge} waits for its second reader and is told to nobody yet. "
        "Have it read again inside its window."
    ),
    TELL_VOID: "{cartridge} was voided, so there is nothing to tell. Begin a fresh one.",
    TELL_SAMPLE: (
        "{cartridge} is a control sample and no patient's. Its result is told to nobody as one."
    ),
    TELL_CHANGED: (
        "{cartridge} stands otherwise now than when this was opened. Nothing was noted. "
        "Look at it again, and tell what it says now."
    ),
    TELL_ALONE: (
        "This test is confidential and its result is told to the person alone. Tell them themselves."
    ),
    TELL_NOT_GUARDIAN: (
        "The consent on file does not let a parent or guardian be told. "
        "Tell the person, or note a new consent first."
    ),
    TELL_NOT_OTHER: (
        "The consent on file names nobody else who may be told. "
        "Tell the person, or note a new consent first."
    ),
    TELL_NO_OFFICE: (
        "No office is notified of this assay here. "
        "If one is to be, name it under [[policy.notices]] in settings.toml."
    ),
}
"""By what the refusal is about."""

_WHAT: dict[Urgency, str] = {
    Urgency.PUT_RIGHT: PUT_RIGHT,
    Urgency.NOTICE: "notify",
    Urgency.REPEAT: "to repeat",
}


def tell_of_telling(event: ResultTold, board: Board) -> str:
    """Return the line for `event`; `board` is as it is after it."""
    result = result_called(board, event.cartridge)
    label = "" if result is None else result.label
    said = "" if result is None else say_saying(event, result.assay)
    if result is not None and said == TO_REPEAT:
        said = say_now(result, board)
    if event.to is Hearer.OFFICE:
        rule = None if result is None else rule_for(board.policy, result.assay.id)
        office = HEARERS[Hearer.OFFICE] if rule is None else rule.office
        return f"{label}  {office} notified {CHANNELS[event.how]}: {said}."
    more = _then(event, is_owed=said == TO_REPEAT)
    return f"{label}  {HEARERS[event.to]} told {CHANNELS[event.how]}: {said}.{more}"


def say_saying(told: ResultTold, assay: Assay) -> str:
    """Return in a few words what was told."""
    return _say(told.status, told.outcomes, assay)


def say_stands(result: Result) -> str:
    """Return in a few words what is to be said of `result` as it stands."""
    return _say(result.status, said_of(result), result.assay)


def _say(status: ResultStatus, outcomes: Sequence[LineOutcome], assay: Assay) -> str:
    match to_say(status, outcomes):
        case Saying.RESULT:
            return say_outcomes(outcomes, assay)
        case Saying.PRELIMINARY:
            return f"{say_outcomes(outcomes, assay)}, {PRELIMINARY}"
        case _:
            return TO_REPEAT


def say_now(result: Result, board: Board) -> str:
    """Return what is to be said of `result` as the bay stands: of a repeat, whether there is one."""
    said = say_stands(result)
    cartridge = board.cartridge(result.cartridge)
    if said != TO_REPEAT or cartridge is None:
        return said
    again = repeat_of(board, cartridge)
    if again is not None:
        return f"{REPEATED} {again.label}"
    beside = spares(board, cartridge)
    if beside is not None:
        return f"{SPARED} {beside.label}"
    if gets_no_repeat(board, cartridge):
        referral = say_referral(board.policy.referral).rstrip(".")
        return f"nothing came of it, and there is no further repeat. {referral}"
    return said


def say_outcomes(outcomes: Sequence[LineOutcome], assay: Assay) -> str:
    """Return what was found of each analyte by its name; of a single one the outcome alone."""
    whole = OUTCOMES[overall(outcomes)]
    if len(assay.line_keys) == 1:
        return whole
    names = {line.key: line.name for line in assay.reading.lines}
    return f"{whole}: " + ", ".join(f"{names[each.line]} {each.outcome}" for each in outcomes)


def say_what(waiting: ToTell, board: Board) -> str:
    """Return the word that stands for a line of the worklist."""
    cartridge = board.cartridge(waiting.result.cartridge)
    if waiting.urgency is Urgency.REPEAT and cartridge is not None:
        return REFER if gets_no_repeat(board, cartridge) else _WHAT[Urgency.REPEAT]
    word = _WHAT.get(waiting.urgency)
    return OUTCOMES[overall(said_of(waiting.result))] if word is None else word


def say_told(told: ResultTold, assay: Assay, board: Board, face: ClockFace) -> str:
    """Return who was told what, when, how and by whom."""
    by = board.name(told.by) or ERASED
    day = f"{face.local(told.at):%Y-%m-%d} {face.time(told.at)}"
    words = f" ({told.words.value or ERASED})" if told.words is not None else ""
    said = say_saying(told, assay)
    return f"{HEARERS[told.to]}{words} heard {CHANNELS[told.how]} at {day} from {by}: {said}"


def say_due(waiting: ToTell, now: Instant) -> str:
    """Return how long there is to notify an office; nothing where none is notified."""
    if waiting.notice is None:
        return ""
    left = between(now, waiting.notice.due)
    if left <= 0:
        return f"OVERDUE {write_elapsed(between(waiting.notice.due, now))}"
    return f"in {write_left(left)}"


def say_why(waiting: ToTell, board: Board, now: Instant, face: ClockFace) -> Iterator[str]:
    """Yield what is to be done about one line of the worklist, a sentence each."""
    result = waiting.result
    stands = say_now(result, board)
    if waiting.notice is not None:
        at = waiting.notice.due
        day, due = face.local(at).date(), say_due(waiting, now)
        yield f"{waiting.notice.office} is notified by {day} {face.minute(at)}, {due}: {stands}."
    elif waiting.misled:
        for each in waiting.misled:
            yield f"No longer holds: {say_told(each, result.assay, board, face)}."
        yield f"It is now: {stands}. Tell each of them."
    else:
        yield f"To tell: {stands}."
        hearers = ", or ".join(HEARERS[each] for each in waiting.may_hear)
        yield f"It may be told to {hearers}."
    if result.assay.confidential and waiting.notice is None:
        yield CONFIDENTIAL
    for each in waiting.told:
        if each not in waiting.misled:
            yield f"Told before: {say_told(each, result.assay, board, face)}."


def what_is_to_tell(
    board: Board, now: Instant, face: ClockFace, back_to: Instant | None = None
) -> Iterator[str]:
    """Yield a line for each result that is still to be told, the most urgent first."""
    found = worklist(board, now, back_to)
    if board.new_specimen:
        yield say_new_specimens(board)
    for each in found.waiting:
        who = board.name(each.result.subject) or ERASED
        said = " ".join(say_why(each, board, now, face))
        yield f"{each.result.label}  {say_what(each, board)}  {who}. {said}"
    if found.more:
        yield f"And {found.more} older ones, which nobody noted as told."
    if not found.waiting and not found.more and not board.new_specimen:
        yield NOTHING_TO_TELL


def _then(event: ResultTold, *, is_owed: bool) -> str:
    match to_say(event.status, event.outcomes):
        case Saying.PRELIMINARY:
            return " Tell them as well once it is read in its window."
        case Saying.REPEAT if is_owed:
            return " Repeat with a fresh cartridge and a new specimen."
        case _:
            return ""
