"""Runs on paper in words: what was entered, and the sheet itself."""

from __future__ import annotations

from typing import TYPE_CHECKING

from readbell.core.board.attention import by_attention
from readbell.core.board.paper_runs import NOT_IN_TURN, TO_COME
from readbell.core.cartridge.at_instant import window
from readbell.core.paper.events import PaperFault
from readbell.core.refusal import RefusalCode
from readbell.core.span_text import write_span
from readbell.phrases.board_words import CAUTIONS, standing
from readbell.phrases.of_cartridges import OUTCOMES

if TYPE_CHECKING:
    from collections.abc import Iterator

    from readbell.core.assay.assay import Assay
    from readbell.core.board.board import Board
    from readbell.core.cartridge.cartridge import Cartridge
    from readbell.core.instant import Instant
    from readbell.core.paper.events import PaperRunEntered
    from readbell.core.refusal import Refusal
    from readbell.phrases.clock_time import ClockFace

ERASED = "erased"
MARK = "paper, stated"
"""Beside every result that was not timed here."""

FAULTS: dict[PaperFault, str] = {
    PaperFault.READ_TOO_EARLY: "it was read too early, or may have been",
    PaperFault.READ_TOO_LATE: "it was read too late, or may have been",
    PaperFault.WAIT_NOT_KEPT: "a wait that has to be kept was not, or may not have been",
}
WARNINGS: dict[str, str] = {
    RefusalCode.LOT_ON_HOLD: "its lot is on hold",
    RefusalCode.LOT_EXPIRED: "its lot is out of date",
    RefusalCode.LOT_USED_UP: "its lot has no unit left by the record",
}
"""What stood against the lot of a run when it was entered."""
NOT_ALLOWED: dict[str, str] = {
    TO_COME: "One of these times is still to come. Look at the paper again, and at its day.",
}
"""By what the refusal is about."""


def refused_paper(refusal: Refusal) -> str | None:
    """Return the sentence for a refusal that is about times on paper, or None if it is not."""
    if refusal.code is RefusalCode.OUT_OF_ORDER and refusal.subject.startswith(NOT_IN_TURN):
        wanted = refusal.subject.removeprefix(f"{NOT_IN_TURN}: ")
        return (
            "The times on paper are not whole, or not in turn. Nothing was entered. "
            f"Give one for each of {wanted}, each no earlier than the one before, then the reading."
        )
    return None


def say_not_on_paper(since: Instant, face: ClockFace) -> str:
    """Say of a sheet that is printed at a station that is alone what it cannot have."""
    return f"ALONE since {face.time(since)}: what this station did since is NOT on this sheet."


def tell_of_paper(event: PaperRunEntered, board: Board) -> str:
    """Return the line for a run that was entered."""
    names = [board.name(each) or ERASED for each in (event.operator, event.witness)]
    said = (
        f"{event.label}  run on paper entered: {OUTCOMES[event.outcome]}. Times stated by "
        f"{names[0]} with {names[1]} as witness, not timed."
    )
    if event.fault is not None:
        said += f" Nothing of it counts: {FAULTS[event.fault]}. Repeat with a new specimen."
    if event.warnings:
        against = ", ".join(WARNINGS[each] for each in event.warnings)
        said += f" Not in order: {against}. Ask a supervisor before it is relied on."
    return said


def running_on_paper(
    board: Board, now: Instant, face: ClockFace, *, with_ids: bool
) -> Iterator[str]:
    """Yield a line for each running cartridge, with the clock times at which it may be read."""
    if not board.running:
        yield "Nothing runs."
    for each in by_attention(board, now):
        whose = f"  {board.name(each.labelled.subject) or ERASED}" if with_ids else ""
        yield f"{each.label}{whose}  {standing(each, now).word}  {_times(each, face)}".rstrip()


def blank_log(assay: Assay) -> Iterator[str]:
    """Yield the lines of a log to be filled in by hand, for one cartridge."""
    yield assay.title
    yield "Cartridge ____________  Patient ID ____________________  Lot ________________"
    yield "Operator _____________  Witness _____________________  Day ________________"
    for step in assay.steps:
        yield f"{_box(step.title)}  ___:___:___{_wait(assay, step.key)}"
    rules = assay.reading
    closes = "no stated close" if rules.closes is None else write_span(rules.closes)
    yield f"{_box('Opens: drops + ' + write_span(rules.opens))}  ___:___:___"
    yield f"{_box('Closes: drops + ' + closes)}  ___:___:___"
    yield f"{_box('Read')}  ___:___:___"
    lines = "   ".join(f"{line.mark}: absent / faint / clear" for line in rules.lines)
    yield f"Control line {rules.control_mark}: absent / present   {lines}"
    yield "Cannot be read: background / smear / flow stopped / flooded / damaged"
    yield "Before it opens a negative means nothing; after it closes nothing counts."


def cautions() -> tuple[str, ...]:
    """Return what stands on every sheet."""
    return tuple(CAUTIONS)


def _times(cartridge: Cartridge, face: ClockFace) -> str:
    span = window(cartridge)
    if cartridge.unsure:
        return "its clock may have lied: state the drops with a witness"
    if span is not None:
        closes = "no stated close" if span.closes is None else f"closes {face.time(span.closes)}"
        return f"opens {face.time_from(span.opens)}  {closes}"
    waits = (
        f"wait to {face.time_from(wait.over)}"
        + ("" if wait.limit is None else f", at most to {face.time(wait.limit)}")
        for wait in cartridge.running_waits
    )
    return "; ".join(waits)


def _wait(assay: Assay, key: str) -> str:
    step = assay.step(key)
    wait = None if step is None else step.wait
    if wait is None:
        return ""
    least = f"at least {write_span(wait.least)}" if wait.least else ""
    most = f"at most {write_span(wait.most)}" if wait.most is not None else ""
    return f"  then {', '.join(each for each in (least, most) if each)}"


def _box(words: str) -> str:
    return f"[ ] {words:<36}"
