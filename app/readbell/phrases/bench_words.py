"""What the bench of a rehearsal says: who stands there, what breaks in, how its clock goes.

Nothing here knows what a strip shows.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

from readbell.core.practice.assist import Assist
from readbell.core.rehearsal.scenario import InterruptionKind

if TYPE_CHECKING:
    from collections.abc import Sequence
    from datetime import date

    from readbell.core.rehearsal.scenario import Interruption

LEVELS: dict[Assist, str] = {
    Assist.FULL: "full help",
    Assist.ALARMS: "alarms alone",
    Assist.SILENT: "examination",
}
KINDS: dict[InterruptionKind, str] = {
    InterruptionKind.QUESTION: "QUESTION",
    InterruptionKind.CAR_LEAVES: "CAR LEAVES",
    InterruptionKind.CALLED_AWAY: "CALLED AWAY",
    InterruptionKind.LID_CLOSED: "LID CLOSED",
}
STANDS_STILL = "stands still"
AT_WORK = "hands at work"
NOBODY_WAITS = "Nobody waits."
NOTHING_CHOSEN = "No cartridge is looked at: choose a row with Up and Down."
COVERED = "The clock stands still, and the strip is covered."
OVER = "Nothing is left to do. Ctrl+Q leaves, and the debrief follows."
IT_STANDS_STILL = "The rehearsal stands still, so nothing is taken. F7 goes on."
LONGEST_SPEED = 60
NO_SPEED = f"Type a speed from 1 to {LONGEST_SPEED}, then F7; F7 alone stands still or goes on."
NOBODY_ASKED = "Nobody broke in, so there is nothing to answer. What was typed was not taken."
WANTS_WORDS = "They wait for an answer: type it, then F10."
NO_ANSWER_KEPT = "That was not kept: the journal cannot be written. Leave, and begin anew."
NOTHING_COMES = "Nothing more comes by itself: do what is left, or Ctrl+Q leaves."
NO_LEAP_HERE = "In an examination nothing leaps while a cartridge runs: type a speed, then F7."
DO_THIS_FIRST = "{label} calls, and a leap would pass it by. Do it first, or F7 lets time pass."


def say_goal(goal: str) -> str:
    """Return what is to be brought about, and what begins it."""
    said = goal.rstrip(".") or "do the work as you would at the bench"
    return f"Goal: {said}. F7 begins."


def say_teaching(teaching: str) -> str:
    """Return the line of teaching."""
    return f"To practise: {teaching}"


def say_speed(speed: int) -> str:
    """Return how fast the clock of the rehearsal goes."""
    return f"x{speed}" if speed else STANDS_STILL


def say_began(speed: int) -> str:
    """Return the answer to a change of speed."""
    if not speed:
        return "The rehearsal stands still. F7 goes on."
    return f"The clock goes {speed} times as fast." if speed > 1 else "The clock goes as in life."


def say_leapt(time: str) -> str:
    """Return the answer to a leap that landed at the clock time `time`."""
    return f"It is {time} now."


def say_interruption(interruption: Interruption) -> str:
    """Return what broke in, in the scenario's own words, and what to do about it."""
    asks = interruption.kind is InterruptionKind.QUESTION
    do = "Type the answer, then F10." if asks else "F10: noted."
    return f"{interruption.says} {do}"


def say_waiting(groups: Sequence[Sequence[str]]) -> str:
    """Return who stands there and has no cartridge yet.

    Args:
        groups: what each says of themselves, those who came together together.
    """
    if not groups:
        return NOBODY_WAITS
    return "Before you: " + "; then ".join(_together(each) for each in groups) + "."


def _together(papers: Sequence[str]) -> str:
    if len(papers) == 1:
        return papers[0]
    return f"{len(papers)} together, {' / '.join(papers)}"


def say_boxes(boxes: Sequence[tuple[str, date]], badges: Sequence[str]) -> str:
    """Return whose badges are here, for they are scanned first, and what stands on the shelf."""
    shelf = ", ".join(f"{number} (good through {day.isoformat()})" for number, day in boxes)
    return f"Badges: {', '.join(badges) or 'nobody is here'}. On the shelf: {shelf}."


def say_good(expires: date | None) -> str:
    """Return the day that stands on the pouch of a device."""
    return "" if expires is None else f"Its pouch: good through {expires.isoformat()}"


def say_written(label: str, written: str) -> str:
    """Return which device lies there, and whose name somebody wrote beside its label."""
    return f"{label} on the bench, marked {written}" if written else f"{label} on the bench"


def say_asked(papers: str | None) -> str:
    """Return what the person of a device says when they are asked who they are."""
    return "" if papers is None else f"They say: {papers}"
