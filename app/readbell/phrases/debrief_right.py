"""What would have been right in place of a mistake, in one or two sentences with their times."""

from __future__ import annotations

from typing import TYPE_CHECKING

from readbell.core.refusal import RefusalCode
from readbell.core.rehearsal.score_marks import Slip
from readbell.core.rehearsal.virtual_cartridge import Shade
from readbell.core.span_text import write_elapsed, write_span
from readbell.phrases.of_bands import UNREADABLE

if TYPE_CHECKING:
    from collections.abc import Mapping

    from readbell.core.rehearsal.score_marks import Mistake, Right
    from readbell.phrases.clock_time import ClockFace

_ANOTHER_BOX = "read the box before it is opened, and take another one."
_ASK = "ask the person who they are, and enter what they say."
_ALWAYS: Mapping[str, str] = {
    Slip.NOBODYS_ID: (
        "enter the ID that the person says or shows and read it back before the pouch is opened; "
        "where another was entered, void it, and begin anew."
    ),
    Slip.SWAP_READ: (
        "where another's name stands on the device, void both devices; both people give new specimens."
    ),
    Slip.BAD_DEVICE_READ: "read the pouch before it is opened; void the device and take a fresh one.",
    Slip.SOUND_GIVEN_UP: (
        "go on with it. Only a device with something wrong on it, or in how it was run, is given up."
    ),
    Slip.NO_TIME_FOR_GLOVES: "fresh gloves first, then the next person's specimen.",
    Slip.NOT_TESTED: "begin everybody who waits, or say to them that it cannot be done today.",
    Slip.NOT_REPEATED: "a new specimen, on a fresh cartridge, before the board is left.",
    Slip.LEFT_RUNNING: "stay until it is read, or hand it over to somebody who stays.",
    RefusalCode.WRONG_PERSON: (
        "look whose name stands on the cartridge in your hand, and enter what that person says."
    ),
    RefusalCode.WRONG_CARTRIDGE: "scan the cartridge that is in your hand, and go on with that one.",
    RefusalCode.NOT_ALLOWED: (
        "leave it, and read it in its window: what was seen early stays, and only a supervisor "
        "withdraws a result."
    ),
    RefusalCode.LOT_EXPIRED: _ANOTHER_BOX,
    RefusalCode.LOT_ON_HOLD: _ANOTHER_BOX,
    RefusalCode.BOX_OPENED_TOO_LONG: _ANOTHER_BOX,
    RefusalCode.BOX_OF_ANOTHER_ASSAY: _ANOTHER_BOX,
    RefusalCode.SAMPLE_EXPIRED: "read the day on the material, and take one that is in date.",
    RefusalCode.CONTROLS_DUE: "first the control samples that are due on this lot, then the person.",
    RefusalCode.KIT_COLD: "let the kit warm up for its time, and open a pouch only then.",
    RefusalCode.OUT_OF_TEMPERATURE: "begin nobody until the bay is within its range.",
    RefusalCode.CONSENT_MISSING: "ask, and note who consents, before a pouch is opened.",
    RefusalCode.CONSENT_REFUSED: "open no pouch for somebody who said no.",
    RefusalCode.ALREADY_READ: "leave it: what was read stays as it was read.",
    RefusalCode.ALREADY_ENDED: "leave it: its person is tested on a fresh cartridge.",
}
"""Where no time says it."""
_SHADES: Mapping[Shade, str] = {
    Shade.ABSENT: "there was no line at {line}",
    Shade.VERY_FAINT: "there was a very faint line at {line}, and however faint it is a line: positive",
    Shade.FAINT: "there was a faint line at {line}, and a faint line is a line: positive",
    Shade.CLEAR: "there was a clear line at {line}: positive",
}
_NEGATIVE = ": negative."
"""Said of a bare strip in its window, and never before it."""
_READINGS = frozenset(
    {Slip.FALSE_NEGATIVE, Slip.FALSE_POSITIVE, Slip.INVALID_TAKEN, Slip.RESULT_GIVEN_UP}
)
_EARLY = frozenset({Slip.EARLY_FALSE_POSITIVE, Slip.EARLY_NO_CONTROL})
_LOST = (Slip.WINDOW_LOST, Slip.SLEPT_THROUGH)
_WAITS = frozenset({Slip.WAIT_LONG, Slip.WAIT_SHORT, RefusalCode.WAIT_NOT_OVER})


def say_right(mistake: Mistake, face: ClockFace) -> str | None:
    """Return what would have been right; None where the sentence of the mistake says it all."""
    right = mistake.right
    if right is None and mistake.code == RefusalCode.WRONG_PERSON and mistake.cartridge is None:
        said: str | None = _ASK  # as they were to be begun: nobody has a cartridge in hand yet
    elif right is None:
        said = _ALWAYS.get(mistake.code)
    elif mistake.code in _WAITS:
        said = _of_wait(mistake, right, face)
    elif mistake.code is RefusalCode.OUT_OF_ORDER:
        said = f"its next step was: {right.step}."
    elif right.asked:
        said = f'"{right.answer}" to "{right.asked}"'
    elif mistake.code in _READINGS:
        said = _of_strip(right)
    elif mistake.code in _EARLY:
        said = _of_early(right, face)
    else:
        said = _of_time(mistake, right, face)
    return None if said is None else f"Right: {said}"


def _of_wait(mistake: Mistake, right: Right, face: ClockFace) -> str:
    """Return when the step behind a wait was right; one that was refused is told how long it was."""
    begins = "" if right.since is None else f" from {face.time_from(right.since)}"
    ends = "" if right.until is None else f" to {face.time(right.until)}"
    said = f'"{right.step}"{begins}{ends}.'
    if not mistake.refused or right.passed is None or right.least is None:
        return said
    passed, least = write_elapsed(right.passed), write_span(right.least)
    return f'{said} This was {passed} after "{right.after}", and {least} is the least.'


def _of_time(mistake: Mistake, right: Right, face: ClockFace) -> str:
    """Return when a look or a reading counts, and how long after the drops this one came."""
    begins = "" if right.since is None else face.time_from(right.since)
    if right.may_look:
        when = f"an early look from {begins} until the window opens"
    else:
        when = f"read it {_window(right, face)}"
    tail = ""
    if mistake.code in (RefusalCode.EARLY_NEGATIVE, RefusalCode.EARLY_NO_CONTROL):
        tail = " Before that only a line beside a control line counts, and a line may still come."
    elif mistake.code in (RefusalCode.WINDOW_CLOSED, *_LOST):
        tail = " After that nothing counts: the person gives a new specimen."
    passed = ""
    if right.stated:
        passed = " The drops were stated and not timed, so their doubt narrows the window."
    elif right.passed is not None and mistake.code not in _LOST:
        passed = f" This was {write_elapsed(right.passed)} after the drops."
    return f"{when}.{passed}{tail}"


def _of_strip(right: Right) -> str:
    """Return what the strip showed at that instant, and what that comes to."""
    if right.spoilt is not None:
        return (
            f"the strip could not be read ({UNREADABLE[right.spoilt]}): invalid, whatever it shows."
        )
    mark = right.control_mark
    if not right.control:
        return f"there was no control line at {mark}: the strip counted for nothing, whatever it shows."
    shade = Shade.ABSENT if right.shade is None else right.shade
    negative = _NEGATIVE if shade is Shade.ABSENT else "."
    return f"the control line was there, and {_SHADES[shade].format(line=right.line)}{negative}"


def _of_early(right: Right, face: ClockFace) -> str:
    """Return what an early look showed that did not count, and when the strip is read instead."""
    if right.spoilt is None and not right.control:
        shown = f"there was no control line at {right.control_mark} yet, so nothing counted."
    else:
        shown = f"{_of_strip(right).removesuffix(_NEGATIVE).removesuffix('.')}."
    came = ""
    if right.came is not None and right.shade is Shade.ABSENT:
        came = f" The line came {write_span(right.came)} after the drops."
    return f"{shown} Enter nothing early, and read it {_window(right, face)}.{came}"


def _window(right: Right, face: ClockFace) -> str:
    begins = "in its window" if right.since is None else f"from {face.time_from(right.since)}"
    return begins if right.until is None else f"{begins} to {face.time(right.until)}"
