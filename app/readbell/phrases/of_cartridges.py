"""What happens to cartridges, one line each."""

from __future__ import annotations

from typing import TYPE_CHECKING, assert_never

from readbell.core.board.label import TWO_INVALIDS, calls_for_control_samples
from readbell.core.board.owing import TESTED_TODAY
from readbell.core.board.repeats import gets_no_repeat
from readbell.core.board.second_reader import readers_disagree
from readbell.core.board.subjects import is_patients
from readbell.core.cartridge.at_instant import window
from readbell.core.cartridge.events import (
    OWED_NO_REPEAT,
    AlertKind,
    AlertRaised,
    ApplicationStated,
    CartridgeEvent,
    CartridgeLabelled,
    CartridgeLapsed,
    CartridgeRead,
    CartridgeVoided,
    Deviation,
    EarlyPositiveSeen,
    ReadingCorrected,
    ReadingKind,
    ResultAmended,
    SlipReason,
    StepDone,
    StepTakenBack,
    TakeBackReason,
    VoidReason,
)
from readbell.core.cartridge.stage import Stage
from readbell.core.instant import SECOND, Span, between, later
from readbell.core.reading.interpretation import Outcome
from readbell.core.review.reasons import HoldReason
from readbell.core.span_text import write_elapsed, write_span
from readbell.phrases.bad_devices import say_bad
from readbell.phrases.patient_words import TESTED_ALREADY
from readbell.phrases.review_words import AMEND_REASONS, AMENDED, HELD, NO_FURTHER, say_referral
from readbell.phrases.spared import say_spared
from readbell.phrases.stock_words import say_warnings
from readbell.phrases.whose import say_subject

if TYPE_CHECKING:
    from collections.abc import Sequence

    from readbell.core.board.board import Board
    from readbell.core.cartridge.cartridge import Cartridge
    from readbell.core.reading.interpretation import LineOutcome
    from readbell.phrases.clock_time import ClockFace

LATE = Span(2 * SECOND)
"""From here on an alert is called late; below it nobody could have acted sooner."""

OUTCOMES: dict[Outcome, str] = {
    Outcome.POSITIVE: "+ POSITIVE",
    Outcome.NEGATIVE: "- NEGATIVE",
    Outcome.INVALID: "x INVALID",
    Outcome.WITHHELD: "? WITHHELD",
}

_MISSED: dict[AlertKind, str] = {
    AlertKind.WAIT_OVER: ">  Wait over",
    AlertKind.OVERDUE: ">> Overdue",
    AlertKind.EARLY_LOOK: "e  Early look",
    AlertKind.READ_NOW: "!  Read now",
    AlertKind.CLOSING: "!! Closing",
    AlertKind.LAPSED: "x  Lapsed",
}

REPEAT = "Take a fresh cartridge and a new specimen."
NO_REPEAT = "No repeat is due."

_REASONS: dict[VoidReason, str] = {
    VoidReason.DROPPED: "it was dropped",
    VoidReason.SPILLED: "something was spilled",
    VoidReason.TOO_FEW_DROPS: "too few drops fell",
    VoidReason.WRONG_BUFFER: "the buffer was of another kit",
    VoidReason.DECLINED: "the person declined",
    VoidReason.LEFT: "the person left before the swab",
    VoidReason.INSUFFICIENT_SPECIMEN: "there was too little specimen",
    VoidReason.LABEL_ERROR: "the label was wrong",
    VoidReason.BAD_DEVICE: "the pouch or the device was bad",
    VoidReason.TIME_UNSURE: "its times are not known well enough",
    VoidReason.OTHER: "for a reason of its own",
}

TAKE_BACK_REASONS: dict[TakeBackReason, str] = {
    TakeBackReason.PRESSED_TOO_EARLY: "pressed too early",
    TakeBackReason.ANOTHER_CARTRIDGE: "done on another cartridge",
    TakeBackReason.NOT_DONE: "not done after all",
    TakeBackReason.OTHER: "for another reason",
}

_SLIPS: dict[SlipReason, str] = {
    SlipReason.PRESSED_WRONG_KEY: "a wrong key was pressed",
    SlipReason.TOOK_LINE_FOR_ANOTHER: "one line was taken for another",
    SlipReason.OTHER: "another slip",
}

_MEANS: dict[Outcome, str] = {
    Outcome.POSITIVE: "",
    Outcome.NEGATIVE: "A negative does not exclude infection.",
    Outcome.INVALID: "Repeat with a fresh cartridge and a new specimen.",
    Outcome.WITHHELD: (
        "It contradicts the early look, so neither counts. Tell a supervisor and repeat."
    ),
}
_MEANS_REFERRED: dict[Outcome, str] = {
    Outcome.INVALID: "",
    Outcome.WITHHELD: "It contradicts the early look, so neither counts. Tell a supervisor.",
}
"""The same where the person gets no further repeat: that is said behind it."""


NOT_SHOWN = "What was seen is shown to nobody until then."
DISAGREE = "The two readers disagree, so neither counts. A supervisor decides, or repeat."
DISAGREE_REFERRED = "The two readers disagree, so neither counts. A supervisor decides."


def tell_of_cartridge(event: CartridgeEvent, board: Board, face: ClockFace) -> str:
    """Return the line for `event`; `board` is as it is after it."""
    cartridge = board.cartridge(event.cartridge)
    if cartridge is None:
        return ""
    match event:
        case CartridgeLabelled():
            said = _labelled(event, board)
        case StepDone():
            said = _step_done(event, cartridge, face)
        case StepTakenBack():
            said = _taken_back(event, cartridge, face)
        case EarlyPositiveSeen():
            seen = _names(cartridge, event.lines)
            said = f"early look: + POSITIVE for {seen}. Preliminary: read it in its window too."
        case CartridgeRead(second=asked) if asked is not None:
            said = _read_once(cartridge, face)
        case CartridgeRead():
            again = event.kind is ReadingKind.SECOND
            how = "read by a second reader too" if again else "read"
            # In a story it is told before the hold that came of it.
            disagree = again and readers_disagree(cartridge, event)
            said = _outcome(board, cartridge, event.outcomes, event.outcome, how, disagree=disagree)
            said += _stop(board, cartridge) + _still_held(cartridge, event)
        case ReadingCorrected() if cartridge.reading is not None and cartridge.reading.second:
            said = f"corrected by its first reader, {_SLIPS[event.reason]}. {NOT_SHOWN}"
        case ReadingCorrected():
            corrected = f"corrected by its reader, {_SLIPS[event.reason]}"
            said = _outcome(board, cartridge, event.outcomes, event.outcome, corrected)
            said += f" The first entry stays on record.{_stop(board, cartridge)}"
        case ResultAmended():
            said = _amended(event, cartridge, board)
        case CartridgeLapsed():
            said = _lapsed(board, cartridge, event) + _stop(board, cartridge)
        case CartridgeVoided():
            said = _voided(event, cartridge, board)
        case ApplicationStated():
            when = face.time(event.done.said)
            said = f"the drops fell at {when}, stated with a witness. {_window(cartridge, face)}"
        case AlertRaised():
            said = _alert(event, cartridge, face)
        case _:
            assert_never(event)
    return f"{cartridge.label}  {said}".rstrip()


def _labelled(event: CartridgeLabelled, board: Board) -> str:
    cartridge = board.cartridge(event.cartridge)
    person = "erased" if cartridge is None else say_subject(cartridge, board)
    before = None if event.repeat_of is None else board.cartridge(event.repeat_of)
    repeat = "" if before is None else f", a repeat of {before.label}"
    warning = (
        " Two invalid already for this person: run control samples on the lot, "
        "then follow the local rules."
        if TWO_INVALIDS in event.warnings
        else ""
    )
    warning += TESTED_ALREADY if TESTED_TODAY in event.warnings else ""
    warning += say_warnings(event.warnings)
    return f"labelled for {person} from lot {event.lot}{repeat}.{warning}"


def _step_done(event: StepDone, cartridge: Cartridge, face: ClockFace) -> str:
    step = cartridge.assay.step(event.step)
    title = event.step if step is None else step.title
    stated = f" Stated, not timed: {face.time(event.done.said)}." if event.done.stated else ""
    strayed = "".join(f" Deviation: {say_deviation(each, cartridge)}." for each in event.deviations)
    together = ", together" if event.together else ""
    return f"{title}: done{together}.{stated}{strayed} {_what_follows(event, cartridge, face)}".rstrip()


def say_taken_back(event: StepTakenBack, cartridge: Cartridge, face: ClockFace) -> str:
    """Return what was confirmed and when, of what was taken back since."""
    titles = say_steps(event.steps, cartridge)
    when = (
        f", confirmed {face.time(each.marks[-1].done.said)}"
        for each in cartridge.taken_back
        if each.event == event
    )
    return f"{titles}{next(when, '')}"


def _taken_back(event: StepTakenBack, cartridge: Cartridge, face: ClockFace) -> str:
    again = "it once it is" if len(event.steps) == 1 else "them once they are"
    said = f"{say_taken_back(event, cartridge, face)}: taken back"
    return f"{said}, {TAKE_BACK_REASONS[event.reason]}. Confirm {again} done."


def say_steps(keys: Sequence[str], cartridge: Cartridge) -> str:
    """Return steps in the words of the assay, in one row."""
    steps = {step.key: step.title for step in cartridge.assay.steps}
    return ", ".join(steps.get(key, key) for key in keys)


def say_reason(reason: VoidReason) -> str:
    """Return why a cartridge was given up."""
    return _REASONS[reason]


def say_deviation(deviation: Deviation, cartridge: Cartridge) -> str:
    """Return which wait was not kept, and by how much."""
    key, _, how = deviation.code.rpartition("-")
    step = cartridge.assay.step(key)
    wait = None if step is None else step.wait
    if step is None or wait is None:
        return f"{deviation.code.replace('-', ' ')} {write_elapsed(deviation.span)}"
    limit = wait.most if how == "long" else wait.least
    meant = "" if limit is None else f", {how}er than {write_span(limit)}"
    return f"{wait.name or step.title} {write_elapsed(deviation.span)}{meant}"


def _what_follows(event: StepDone, cartridge: Cartridge, face: ClockFace) -> str:
    step = cartridge.assay.step(event.step)
    if cartridge.applied is not None:
        return _window(cartridge, face)
    if step is not None and step.wait is not None and step.wait.least > 0:
        over = later(event.done.latest, step.wait.least)
        return f"Wait until {face.time_from(over)}."
    return ""


def _window(cartridge: Cartridge, face: ClockFace) -> str:
    span = window(cartridge)
    if span is None:
        return ""
    closes = "" if span.closes is None else f" to {face.time(span.closes)}"
    return f"Read it from {face.time_from(span.opens)}{closes}."


def _outcome(
    board: Board,
    cartridge: Cartridge,
    outcomes: Sequence[LineOutcome],
    outcome: Outcome,
    how: str,
    *,
    disagree: bool = False,
) -> str:
    by_line = say_lines(outcomes, cartridge)
    lines = f" ({by_line})" if by_line else ""
    # What follows from an outcome is said of patients; of a sample its verdict says it.
    spared = say_spared(board, cartridge)
    referred = is_patients(cartridge) and (bool(spared) or gets_no_repeat(board, cartridge))
    means = _MEANS[outcome] if is_patients(cartridge) else ""
    means = _MEANS_REFERRED.get(outcome, means) if referred else means
    disagree = disagree or HoldReason.READERS_DISAGREE in cartridge.held
    if outcome is Outcome.WITHHELD and disagree:
        means = DISAGREE_REFERRED if referred else DISAGREE
    said = (f"{how}: {OUTCOMES[outcome]}{lines}.", means, spared)
    return " ".join(each for each in said if each)


def say_lines(outcomes: Sequence[LineOutcome], cartridge: Cartridge) -> str:
    """Return the outcome of each analyte by its name; nothing where there is but one."""
    if len(outcomes) < 2:
        return ""
    names = {line.key: line.name for line in cartridge.assay.reading.lines}
    return ", ".join(f"{names[each.line]} {each.outcome}" for each in outcomes)


def say_marks(outcomes: Sequence[LineOutcome], cartridge: Cartridge) -> str:
    """Return the outcome of each line by the letter printed beside it; nothing of a single one."""
    if len(outcomes) < 2:
        return ""
    marks = {line.key: line.mark for line in cartridge.assay.reading.lines}
    return ", ".join(f"{marks[each.line]} {each.outcome}" for each in outcomes)


def _still_held(cartridge: Cartridge, event: CartridgeRead) -> str:
    """Return that the reading waits for a supervisor, where that was told long before it."""
    times = {each.at for each in cartridge.holds}
    told_now = event.at in times  # a reason that came with the reading says it itself
    return f" {HELD}." if cartridge.held and times and not told_now else ""


def _stop(board: Board, cartridge: Cartridge) -> str:
    no_more = ""
    is_spared = bool(say_spared(board, cartridge))
    if is_patients(cartridge) and not is_spared and gets_no_repeat(board, cartridge):
        no_more = f" {NO_FURTHER} {say_referral(board.policy.referral)}"
    if not calls_for_control_samples(board, cartridge):
        return no_more
    return (
        f"{no_more} Second invalid for this person: stop. Run control samples on lot "
        f"{cartridge.labelled.lot}, then follow the local rules."
    )


def _read_once(cartridge: Cartridge, face: ClockFace) -> str:
    span = window(cartridge)
    until = "" if span is None or span.closes is None else f" until {face.time(span.closes)}"
    return (
        f"read once. A second reader is asked for: somebody else reads it too{until}. {NOT_SHOWN}"
    )


def _amended(event: ResultAmended, cartridge: Cartridge, board: Board) -> str:
    by = board.name(event.by) or "erased"
    how = f"{AMENDED} by {by}, {AMEND_REASONS[event.reason]}"
    own = " Own review." if event.own else ""
    said = _outcome(board, cartridge, event.outcomes, event.outcome, how)
    return f"{said} The first reading stays on record; whoever was told has to hear.{own}"


def _lapsed(board: Board, cartridge: Cartridge, event: CartridgeLapsed) -> str:
    if cartridge.reading is not None:
        said = "the window closed and no second reader had read it: withheld. A supervisor decides"
        spared = say_spared(board, cartridge)
        if spared or gets_no_repeat(board, cartridge):
            return f"{said}. {spared}".rstrip()
        return f"{said}, or repeat with a fresh cartridge and a new specimen."
    if event.outcome is Outcome.POSITIVE:
        return "the window closed unread; the positive seen early stands."
    return _outcome(board, cartridge, event.outcomes, event.outcome, "the window closed unread")


def _voided(event: CartridgeVoided, cartridge: Cartridge, board: Board) -> str:
    follows = say_spared(board, cartridge) or say_after_void(event.reason)
    if event.reason is VoidReason.TIME_UNSURE:
        return (
            "void: the drops may have fallen at such different times that no reading would be "
            f"safe. {follows}"
        )
    is_bad = event.reason is VoidReason.BAD_DEVICE
    bad = say_bad(board.lots[cartridge.labelled.lot]) if is_bad else ""
    return f"void: {_REASONS[event.reason]}. {follows} {bad}".rstrip()


def say_after_void(reason: VoidReason | None) -> str:
    """Return what is to be done once a cartridge is void for `reason`; None: not yet said."""
    return NO_REPEAT if reason in OWED_NO_REPEAT else REPEAT


def _alert(event: AlertRaised, cartridge: Cartridge, face: ClockFace) -> str:
    late = between(event.due, event.at)
    if cartridge.stage is Stage.LAPSED and event.alert is not AlertKind.LAPSED:
        # Called while nobody watched: to ask for it now would be to ask for what is refused.
        return f"{_MISSED[event.alert]} fell at {face.time(event.due)} and was missed."
    marked = (
        f" Late by {write_elapsed(late)}: it was due {face.time(event.due)}."
        if late >= LATE
        else ""
    )
    return f"{_call(event, cartridge, face)}{marked}"


def _call(event: AlertRaised, cartridge: Cartridge, face: ClockFace) -> str:
    step, span = cartridge.next_step, window(cartridge)
    what = "" if step is None else step.title
    match event.alert:
        case AlertKind.WAIT_OVER:
            return f">  WAIT OVER. {what}."
        case AlertKind.OVERDUE:
            return f">> OVERDUE. {what}."
        case AlertKind.EARLY_LOOK:
            return "e  An early look may show a positive. A negative means nothing yet."
        case AlertKind.READ_NOW:
            until = (
                "" if span is None or span.closes is None else f" until {face.time(span.closes)}"
            )
            return f"!  READ NOW{until}."
        case AlertKind.CLOSING:
            until = (
                "" if span is None or span.closes is None else f" Closes {face.time(span.closes)}."
            )
            return f"!! CLOSING. Read it now.{until}"
        case AlertKind.LAPSED:
            return "x  LAPSED."
        case _:
            assert_never(event.alert)


def _names(cartridge: Cartridge, lines: Sequence[str]) -> str:
    return ", ".join(line.name for line in cartridge.assay.reading.lines if line.key in lines)
