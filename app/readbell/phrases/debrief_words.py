"""What is said of an attempt: what to practise, what went wrong, what a pass rule still asks."""

from __future__ import annotations

from typing import TYPE_CHECKING

from readbell.core.cartridge.events import How
from readbell.core.reading.interpretation import Outcome
from readbell.core.refusal import RefusalCode
from readbell.core.rehearsal.passing import Lacks
from readbell.core.rehearsal.practise import Practise
from readbell.core.rehearsal.scenario import Difficulty
from readbell.core.rehearsal.score_marks import Area, Slip
from readbell.core.rehearsal.virtual_cartridge import Shade
from readbell.core.span_text import write_elapsed, write_span

if TYPE_CHECKING:
    from collections.abc import Mapping

    from readbell.core.instant import Span
    from readbell.core.rehearsal.passing import Lacking
    from readbell.core.rehearsal.score_marks import Mistake

NO_PROOF = (
    "This record states what was practised and is no proof of competence.",
    "No strip in it was of a patient. Who is competent a supervisor decides, by local rules.",
)

DIFFICULTIES: Mapping[Difficulty, str] = {
    Difficulty.EASY: "easy",
    Difficulty.NORMAL: "normal",
    Difficulty.HARD: "hard",
    Difficulty.WORST: "as bad as it gets",
}

AREAS: Mapping[Area, str] = {
    Area.IDENTITY: "identification",
    Area.SAFETY: "safety",
    Area.TIMING: "timing",
    Area.READING: "reading",
    Area.INTERRUPTION: "interruptions",
}

OUTCOMES: Mapping[Outcome, str] = {
    Outcome.POSITIVE: "positive",
    Outcome.NEGATIVE: "negative",
    Outcome.INVALID: "invalid",
}

HOWS: Mapping[How, str] = {
    How.SCANNED: "scanned",
    How.TYPED: "typed",
    How.PICKED: "picked from the list",
}

SHADES: Mapping[Shade, str] = {
    Shade.CLEAR: "clear",
    Shade.FAINT: "faint",
    Shade.VERY_FAINT: "very faint",
}

PRACTISE: Mapping[Practise, str] = {
    Practise.IDENTITY: (
        "Whose it is: scan the cartridge in your hand, ask the person who they are, and enter what "
        "they say. A name that two share is no proof; the ID is."
    ),
    Practise.LABELS: (
        "Labels: write one, stick it, open the next pouch only then. Before a reading look whose "
        "name stands on the device; where it is another's, void it and take a new specimen."
    ),
    Practise.FAINT_LINES: (
        "Faint lines: look in good light, in the marked place, and take your time. Any colour there "
        "is a line, and a faint line is positive."
    ),
    Practise.CONTROL_LINE: (
        "Validity first: look at the control line before the test lines. Without it, or under a "
        "smear, the strip says nothing whatever else it shows; with it, it counts."
    ),
    Practise.NO_LINE: (
        "Where no line is: colour outside the marked place, a shadow or a hope is no line. Say what "
        "is there."
    ),
    Practise.BAD_DEVICES: (
        "The pouch: read its assay and its day before it is opened, each one, whatever the box says. "
        "A bad one is voided and a fresh one taken."
    ),
    Practise.WINDOWS: (
        "Windows: a reading goes before everything that can wait, and a queue can. Begin the next "
        "person only when every reading under way can still be kept."
    ),
    Practise.GLOVES: (
        "Gloves: fresh ones before each next person's specimen, and time for it. What is done "
        "within the time of a change was done without one."
    ),
    Practise.REPEATS: (
        "Repeats: after invalid, lapsed or withheld the person gives a new specimen for a fresh "
        "cartridge. See who is still owed one before you leave."
    ),
    Practise.NEGATIVES_EARLY: (
        "Negatives need the window: a bare strip before it says nothing. An early look is for a "
        "line that shows, and for nothing else."
    ),
    Practise.READ_TOO_EARLY: (
        "The opening of the window: before it nothing is read. Wait for the call, not for the line."
    ),
    Practise.WAITS: (
        "Waits: the swab stays in its buffer for the least time and not past the most. Come back "
        "when the wait is called over."
    ),
    Practise.EARLY_LOOKS: (
        "Early looks: only where the assay allows one, only before the window, and only with a "
        "control line does one count."
    ),
    Practise.KITS: (
        "Kits: what is out of date, on hold, cold or waiting for control samples is not used. Look "
        "at the box before the first person of it."
    ),
    Practise.CONSENT: ("Consent: nobody is begun before it is noted, and nobody who said no."),
    Practise.EVERYBODY: (
        "Before you leave: see who still stands at the window and what still runs. Somebody stays "
        "until the last strip is read."
    ),
    Practise.SOUND_DEVICES: (
        "Giving up: a device is voided for what is wrong with it, not to be rid of it. Whoever is "
        "swabbed again for nothing has a reason to complain."
    ),
    Practise.INTERRUPTIONS: (
        "Interruptions: first see which clock runs out next, then answer, shortly. Whoever has left "
        "is not begun; whoever is called away hands over what runs."
    ),
    Practise.ORDER: (
        "The order of the steps: one cartridge at a time, scanned before each step, so that its own "
        "next step is what you do."
    ),
    Practise.PRESSING: (
        "Pressing in time: confirm a step as it is done. A time that is stated afterwards narrows "
        "the window by its doubt."
    ),
    Practise.PACE: (
        "Pace: while one swab stands in its buffer the next person can be swabbed. Look for what can "
        "be done in a wait, and never at the price of a window."
    ),
}
PICTURE_LEGEND = ("in hand, to the drops", "develops", "read window", "by the best plan")
PICTURE_SIGNS = (
    "R read, e positive seen early, X window lost, v voided. Times count from the start."
)
PICTURE = "REHEARSAL: {title}"

NO_RULE = (
    "This site has no pass rule, so an attempt clears nobody: write [training] into settings.toml."
)
PASSED = (
    "The pass rule of this site is met. It clears nobody by itself: a supervisor may, with --clear, "
    "--by and --until."
)
NOT_PASSED = "The pass rule of this site is not met, so nobody is cleared by these attempts."
NOTHING_TO_PRACTISE = "Nothing went wrong that can be told from the record. Try a harder scenario."

_SLIPS: Mapping[str, str] = {
    Slip.FALSE_NEGATIVE: "{cartridge}{line} was read as negative and was positive.",
    Slip.FALSE_POSITIVE: "{cartridge}{line} was read as positive and was negative.",
    Slip.INVALID_TAKEN: "{cartridge}{line} was taken for a result, and the strip counts for nothing.",
    Slip.RESULT_GIVEN_UP: "{cartridge}{line} was called invalid, and the strip counts.",
    Slip.EARLY_NO_CONTROL: (
        "{cartridge}{line} was taken as positive early, before the strip counted for anything."
    ),
    Slip.EARLY_FALSE_POSITIVE: "{cartridge}{line} was taken as positive early, and no line was there.",
    Slip.WINDOW_LOST: "The window of {cartridge} closed, and nobody had read it.",
    Slip.SLEPT_THROUGH: (
        "The window of {cartridge} opened and closed while the lid was shut: nobody could help it."
    ),
    Slip.WAIT_LONG: "{cartridge} waited {span}, and {limit} is the most.",
    Slip.WAIT_SHORT: "{cartridge} waited {span}, and {limit} is the least.",
    Slip.NOBODYS_ID: "{cartridge} was begun under an ID that nobody here bears.",
    Slip.SWAP_READ: "{cartridge} was read under a label that a colleague had swapped.",
    Slip.BAD_DEVICE_READ: "{cartridge} was read, and its pouch said that it must not be used.",
    Slip.SOUND_GIVEN_UP: "{cartridge} was voided, and nothing was wrong with it.",
    Slip.NO_TIME_FOR_GLOVES: (
        "{span} before {cartridge} another person's specimen was touched; a change of gloves takes {limit}."
    ),
    Slip.BEGUN_AFTER_LEAVING: "{cartridge} was labelled for somebody who had left.",
    Slip.ACTED_WHILE_AWAY: "{cartridge} was worked on by somebody who was called away.",
    Slip.NOT_REPEATED: "{cartridge} gave no result, and {person} was left without a repeat.",
    Slip.NOT_TESTED: "{person} came, and was not tested.",
    Slip.LEFT_RUNNING: "{cartridge} was left as it ran.",
    Slip.WRONG_ANSWER: "Interruption {number} was answered wrongly.",
    Slip.NO_ANSWER: "Interruption {number} was left unanswered.",
}
_REFUSED: Mapping[str, str] = {
    RefusalCode.UNKNOWN_CARTRIDGE: "A cartridge was named that nobody had labelled.",
    RefusalCode.UNKNOWN_PERSON: "Somebody was named who was not registered.",
    RefusalCode.UNKNOWN_LOT: "A lot was named that was never received.",
    RefusalCode.UNKNOWN_SAMPLE: "A control material was named that nobody has.",
    RefusalCode.WRONG_CARTRIDGE: "Another cartridge was scanned than the one meant{of}.",
    RefusalCode.WRONG_PERSON: "Another person was named than the one it is of{of}.",
    RefusalCode.LABEL_IN_USE: "A label was to be used that another device bears.",
    RefusalCode.ID_MALFORMED: "An ID was entered that is none.",
    RefusalCode.ID_CHECK_FAILED: "An ID was entered with a slip in it.",
    RefusalCode.SECOND_MISSING: "The second identifier was not read back{of}.",
    RefusalCode.TOO_EARLY: "It was looked at or read too early{of}.",
    RefusalCode.EARLY_NEGATIVE: "A bare strip was to count before its window{of}.",
    RefusalCode.EARLY_NO_CONTROL: "A strip without control line was to count before its window{of}.",
    RefusalCode.WINDOW_CLOSED: "It was read after its window had closed{of}.",
    RefusalCode.WAIT_NOT_OVER: "A wait was to be cut short{of}.",
    RefusalCode.OUT_OF_ORDER: "A step was out of its turn{of}.",
    RefusalCode.NOT_ALLOWED: "What stands as positive early was to be voided{of}.",
    RefusalCode.LOT_ON_HOLD: "A cartridge was to come from a lot on hold.",
    RefusalCode.LOT_EXPIRED: "A cartridge was to come from a lot that is out of date.",
    RefusalCode.LOT_TWO_EXPIRIES: "A lot was entered with a second last day.",
    RefusalCode.BOX_OF_ANOTHER_ASSAY: "A box of another assay was to be used.",
    RefusalCode.BOX_OPENED_TOO_LONG: "A cartridge was to come from a box open for too long.",
    RefusalCode.KIT_COLD: "A kit was to be used cold.",
    RefusalCode.CONTROLS_DUE: "Somebody was to be begun while control samples were overdue.",
    RefusalCode.OUT_OF_TEMPERATURE: "Somebody was to be begun while the bay was out of its range.",
    RefusalCode.SAMPLE_EXPIRED: "A control material was to be used that is out of date.",
    RefusalCode.CONSENT_MISSING: "Somebody was to be begun before consent was noted.",
    RefusalCode.CONSENT_REFUSED: "Somebody was to be begun who had said no.",
    RefusalCode.ALREADY_READ: "Something was done to a cartridge that was read already{of}.",
    RefusalCode.ALREADY_ENDED: "Something was done to a cartridge that had ended{of}.",
}
_LOOK_NOT_ALLOWED = "An early look was to be taken where none counts{of}."
"""Of an assay that gives no leave for one, or once the window is open."""

_LACKS: Mapping[Lacks, str] = {
    Lacks.ATTEMPTS: "it asks for {asked:g} attempts in a row, and {found:g} were given",
    Lacks.STRIPS: "it asks for {asked:g} strips, and {found:g} were read",
    Lacks.WINDOWS_LOST: "windows lost in attempt {attempt}: {found:g}, and it allows {asked:g}",
    Lacks.WENT_THROUGH: (
        "mistakes about people or safety that nothing stopped in attempt {attempt}: {found:g}, "
        "and it allows {asked:g}"
    ),
    Lacks.REFUSED: (
        "mistakes about people or safety that were stopped in attempt {attempt}: {found:g}, "
        "and it allows {asked:g}"
    ),
    Lacks.READINGS: "lines read rightly in attempt {attempt}: {found:.0f} %, and it asks for {asked:g} %",
    Lacks.FAINT: "faint lines seen in attempt {attempt}: {found:.0f} %, and it asks for {asked:g} %",
    Lacks.KAPPA: "kappa in attempt {attempt}: {found:.2f}, and it asks for {asked:g}",
    Lacks.HELP: "attempt {attempt} had more help than it allows",
    Lacks.LEFT_EARLY: "attempt {attempt} was left before its end, and is none whatever it allows",
}


def say_mistake(mistake: Mistake) -> str:
    """Return what went wrong, and whether it was stopped, in one sentence.

    Who is named is one of the made-up people of the scenario, never what somebody typed.
    """
    words = _SLIPS.get(mistake.code) or _REFUSED[mistake.code]
    if mistake.look and mistake.code == RefusalCode.NOT_ALLOWED:
        words = _LOOK_NOT_ALLOWED
    line = mistake.line if mistake.right is None else mistake.right.line or mistake.line
    said = words.format(
        cartridge=mistake.cartridge or "It",
        of="" if mistake.cartridge is None else f", {mistake.cartridge}",
        line=f" line {line}" if line else "",
        person=mistake.person or "Somebody",
        number=mistake.number,
        span=_span(mistake.span),
        limit="" if mistake.limit is None else write_span(mistake.limit),
    )
    return f"{said} Refused." if mistake.refused else said


def say_lacking(found: Lacking) -> str:
    """Return what the pass rule of the site asks that is not there."""
    return _LACKS[found.what].format(attempt=found.attempt, found=found.found, asked=found.asked)


def _span(span: Span | None) -> str:
    return "" if span is None else write_elapsed(span)
