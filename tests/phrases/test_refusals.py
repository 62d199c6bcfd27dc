"""Each refusal says what is so, why by the assay's own words, and what to do now."""

from __future__ import annotations

from datetime import UTC
from typing import TYPE_CHECKING

import pytest

from builders import THREE_LINES, at, span
from phrases.export_kinds import EXPORT_REFUSALS
from phrases.keeping_kinds import KEEPING_REFUSALS
from phrases.patient_kinds import PATIENT_REFUSALS
from phrases.shift_kinds import SHIFT_REFUSALS
from phrases.staff_kinds import STAFF_REFUSALS
from phrases.station_kinds import STATION_REFUSALS
from phrases.telling_kinds import TELLING_REFUSALS
from readbell.core.board.entry import Do, Entry
from readbell.core.refusal import Refusal, RefusalCode
from readbell.phrases import stock_words
from readbell.phrases.clock_time import ClockFace
from readbell.phrases.refusals import Tried, say_refusal, tried

if TYPE_CHECKING:
    from phrases.conftest import Properly

FACE = ClockFace(zone=UTC, apart=span("6:40"))
"""Shows the start of the bench as 01:00:00."""
NOW = at("3:00")


def act(*, is_look: bool = False) -> Tried:
    """What was tried on C1 at three minutes past the start."""
    return Tried(cartridge="C1", now=NOW, is_look=is_look)


LOOK = act(is_look=True)
TOGETHER = Tried(cartridge="C1", now=NOW, is_together=True)
TAKEN_BACK = Tried(cartridge="C1", now=NOW, takes_back=True)
ACT = act()

KINDS: list[tuple[str, Refusal, Tried]] = [
    *(
        (name, refusal, ACT)
        for name, refusal in (
            *STAFF_REFUSALS,
            *STATION_REFUSALS,
            *EXPORT_REFUSALS,
            *PATIENT_REFUSALS,
            *SHIFT_REFUSALS,
            *KEEPING_REFUSALS,
            *TELLING_REFUSALS,
        )
    ),
    ("nobody", Refusal(code=RefusalCode.UNKNOWN_OPERATOR, subject="op-9"), ACT),
    ("nobody named", Refusal(code=RefusalCode.UNKNOWN_OPERATOR), ACT),
    ("no cartridge", Refusal(code=RefusalCode.UNKNOWN_CARTRIDGE, subject="C9"), ACT),
    ("no person", Refusal(code=RefusalCode.UNKNOWN_PERSON), ACT),
    ("no lot", Refusal(code=RefusalCode.UNKNOWN_LOT, subject="L-9"), ACT),
    ("another cartridge", Refusal(code=RefusalCode.WRONG_CARTRIDGE, subject="C9"), ACT),
    ("another person", Refusal(code=RefusalCode.WRONG_PERSON, subject="C1"), ACT),
    ("a label taken", Refusal(code=RefusalCode.LABEL_IN_USE, subject="C1"), ACT),
    ("a lot on hold", Refusal(code=RefusalCode.LOT_ON_HOLD, subject="L-1"), ACT),
    ("a lot out of date", Refusal(code=RefusalCode.LOT_EXPIRED, subject="L-1 (2026-01-31)"), ACT),
    ("a lot used up", Refusal(code=RefusalCode.LOT_USED_UP, subject="L-1"), ACT),
    (
        "a label that is not taken back",
        Refusal(code=RefusalCode.NOT_ALLOWED, subject="label alone"),
        ACT,
    ),
    (
        "waits that nobody knows",
        Refusal(code=RefusalCode.NOT_ALLOWED, subject="unknown waits"),
        ACT,
    ),
    (
        "not what was confirmed last",
        Refusal(code=RefusalCode.OUT_OF_ORDER, subject="Take the swab"),
        TAKEN_BACK,
    ),
    ("read already", Refusal(code=RefusalCode.ALREADY_READ, subject="C1"), ACT),
    ("ended already", Refusal(code=RefusalCode.ALREADY_ENDED, subject="C1"), ACT),
    ("not its turn", Refusal(code=RefusalCode.OUT_OF_ORDER, subject="Take the swab"), ACT),
    ("no step left", Refusal(code=RefusalCode.OUT_OF_ORDER), ACT),
    (
        "stated before the last act",
        Refusal(code=RefusalCode.OUT_OF_ORDER, subject="Take the swab", due=at("2:00")),
        ACT,
    ),
    (
        "a wait not over",
        Refusal(
            code=RefusalCode.WAIT_NOT_OVER,
            subject="in buffer",
            due=at("3:20"),
            limit=span("1:00"),
            elapsed=span("0:40"),
        ),
        ACT,
    ),
    (
        "a stated wait too short",
        Refusal(
            code=RefusalCode.WAIT_NOT_OVER,
            subject="in buffer",
            due=at("2:20"),
            limit=span("1:00"),
            elapsed=span("0:40"),
        ),
        ACT,
    ),
    (
        "a reading too early",
        Refusal(code=RefusalCode.TOO_EARLY, due=at("15:00"), elapsed=span("3:00")),
        ACT,
    ),
    (
        "a look too early",
        Refusal(code=RefusalCode.TOO_EARLY, due=at("4:00"), elapsed=span("1:00")),
        LOOK,
    ),
    ("no line early", Refusal(code=RefusalCode.EARLY_NEGATIVE, due=at("15:00")), LOOK),
    ("no control early", Refusal(code=RefusalCode.EARLY_NO_CONTROL, due=at("15:00")), LOOK),
    ("too late", Refusal(code=RefusalCode.WINDOW_CLOSED, subject="C1"), ACT),
    ("a clock in doubt", Refusal(code=RefusalCode.WINDOW_CLOSED, subject="unsure"), ACT),
    ("bands left out", Refusal(code=RefusalCode.BAD_BANDS, subject="A, B, T"), ACT),
    (
        "no leave for a look",
        Refusal(code=RefusalCode.NOT_ALLOWED, due=at("15:00"), elapsed=span("3:00")),
        LOOK,
    ),
    (
        "a look in the window",
        Refusal(code=RefusalCode.NOT_ALLOWED, due=at("2:00"), elapsed=span("15:00")),
        LOOK,
    ),
    (
        "void after an early positive",
        Refusal(code=RefusalCode.NOT_ALLOWED, subject="early positive"),
        ACT,
    ),
    (
        "a firm wait overrun",
        Refusal(
            code=RefusalCode.NOT_ALLOWED,
            subject="in buffer",
            limit=span("3:00"),
            elapsed=span("3:10"),
        ),
        ACT,
    ),
    (
        "a step stated to come",
        Refusal(code=RefusalCode.NOT_ALLOWED, subject="Take the swab", due=at("4:00")),
        ACT,
    ),
    (
        "a clock among steps together",
        Refusal(code=RefusalCode.NOT_ALLOWED, subject="Swab into the buffer"),
        TOGETHER,
    ),
    (
        "steps together stated to come",
        Refusal(code=RefusalCode.NOT_ALLOWED, subject="Take the swab", due=at("4:00")),
        TOGETHER,
    ),
    (
        "a firm wait overrun by steps together",
        Refusal(
            code=RefusalCode.NOT_ALLOWED,
            subject="in buffer",
            limit=span("3:00"),
            elapsed=span("3:10"),
        ),
        TOGETHER,
    ),
    (
        "a correction of somebody else's reading",
        Refusal(code=RefusalCode.NOT_ALLOWED, subject="another reader"),
        ACT,
    ),
    ("a party of nobody", Refusal(code=RefusalCode.NOT_ALLOWED, subject="empty party"), ACT),
    ("somebody twice", Refusal(code=RefusalCode.NOT_ALLOWED, subject="person twice"), ACT),
    ("the same reading", Refusal(code=RefusalCode.ALREADY_KNOWN, subject="reading"), ACT),
    ("one witness for oneself", Refusal(code=RefusalCode.NOT_ALLOWED, subject="witness"), ACT),
    ("nothing in doubt", Refusal(code=RefusalCode.NOT_ALLOWED, subject="sure"), ACT),
    ("an assay not adopted", Refusal(code=RefusalCode.NOT_ADOPTED, subject=THREE_LINES.id), ACT),
    ("known already", Refusal(code=RefusalCode.ALREADY_KNOWN, subject="lot"), ACT),
    ("nothing saved", Refusal(code=RefusalCode.NOT_SAVED), ACT),
    ("a broken record", Refusal(code=RefusalCode.RECORD_BROKEN), ACT),
]
"""Each refusal in every form in which the core makes it."""


def said(code: RefusalCode, what: Tried = ACT, **figures: object) -> str:
    """The words of one refusal."""
    return say_refusal(Refusal(code=code, **figures), what, FACE)  # type: ignore[arg-type]


def test_no_code_is_forgotten() -> None:
    """A refusal without words would be a code on the screen."""
    assert {refusal.code for _, refusal, _ in KINDS} | set(stock_words.REFUSED) | {
        RefusalCode.KIT_COLD
    } == set(RefusalCode)


@pytest.mark.parametrize(
    ("refusal", "what"), [each[1:] for each in KINDS], ids=[each[0] for each in KINDS]
)
def test_each_refusal_is_whole_sentences_without_codes(
    refusal: Refusal, what: Tried, properly: Properly
) -> None:
    """What is so, and what to do: two sentences at least, each one ended."""
    assert properly(say_refusal(refusal, what, FACE)) >= 2


def test_a_wait_is_told_with_its_figures_and_its_end() -> None:
    """How long it has been, how long it must be, and when that is."""
    words = said(
        RefusalCode.WAIT_NOT_OVER,
        subject="in buffer",
        due=at("3:20"),
        limit=span("1:00"),
        elapsed=span("0:40"),
    )

    assert words == "C1 has been in buffer 0:40 of 1:00. Wait until 01:03:20, 0:20 more."


@pytest.mark.parametrize(
    ("now", "left"),
    [
        pytest.param("2:59.000", "0:01", id="a second left"),
        pytest.param("2:59.001", "0:01", id="less than a second left"),
        pytest.param("2:59.999", "0:01", id="a millisecond left"),
        pytest.param("1:59.999", "1:01", id="a minute and a millisecond left"),
    ],
)
def test_time_left_is_rounded_up(now: str, left: str) -> None:
    """0:00 is never said while there is time to wait."""
    what = Tried(cartridge="C1", now=at(now))
    words = said(RefusalCode.TOO_EARLY, what, due=at("3:00"))

    assert words == (f"Too early. A reading counts from 01:03:00, in {left}. Come back then.")


@pytest.mark.parametrize(("elapsed", "shown"), [("0:40", "0:40"), ("0:40.999", "0:40")])
def test_time_gone_is_rounded_down(elapsed: str, shown: str) -> None:
    """No second is claimed that has not passed."""
    words = said(
        RefusalCode.WAIT_NOT_OVER,
        subject="in buffer",
        due=at("3:20"),
        limit=span("1:00"),
        elapsed=span(elapsed),
    )

    assert words.startswith(f"C1 has been in buffer {shown} of 1:00.")


def test_the_instant_from_which_a_reading_counts_is_rounded_up() -> None:
    """Whoever comes at the second that was said is not refused again."""
    words = said(RefusalCode.TOO_EARLY, due=at("15:00.001"))

    assert "from 01:15:01," in words


def test_a_reading_and_a_look_too_early_are_told_apart() -> None:
    """A look has its own, earlier border."""
    look = said(RefusalCode.TOO_EARLY, LOOK, due=at("4:00"), elapsed=span("1:00"))
    reading = said(RefusalCode.TOO_EARLY, ACT, due=at("15:00"))

    assert look == (
        "Too early. 1:00 after the drops an early look tells nothing yet. "
        "Look again from 01:04:00, in 1:00."
    )
    assert "A reading counts from 01:15:00" in reading


def test_a_late_reading_is_called_no_result_and_a_repeat_asked_for() -> None:
    """The two things that must never be misunderstood about a late strip."""
    words = said(RefusalCode.WINDOW_CLOSED, subject="C1")

    assert words == (
        "The window of C1 has closed. Kept as a late look, not a result. "
        "Take a fresh cartridge and a new specimen."
    )


@pytest.mark.parametrize("subject", ["{cartridge}", "{0}", "%s", "x" * 200])
def test_whatever_was_typed_is_repeated_as_it_is(subject: str) -> None:
    """A lot number with braces in it must not break the sentence."""
    assert subject in said(RefusalCode.UNKNOWN_LOT, subject=subject)


@pytest.mark.parametrize(("do", "is_look"), [(Do.LOOK, True), (Do.READ, False), (Do.STEP, False)])
def test_what_was_tried_follows_from_the_entry(do: Do, is_look: bool) -> None:
    """The sentence needs to know whether it was a look."""
    found = tried(Entry(do=do, by="op-1", cartridge="C1"), NOW)

    assert found == Tried(cartridge="C1", now=NOW, is_look=is_look)


def test_steps_together_are_tried_as_such() -> None:
    """A clock among them is refused in words of its own."""
    found = tried(Entry(do=Do.STEPS, by="op-1", cartridge="C1"), NOW)

    assert found == TOGETHER
    assert say_refusal(
        Refusal(code=RefusalCode.NOT_ALLOWED, subject="Swab into the buffer"), found, FACE
    ) == (
        "A clock hangs on this step of C1: Swab into the buffer. Nothing saved. "
        "Confirm the steps up to it, and what follows by itself."
    )


def test_a_refusal_names_no_person() -> None:
    """The words are read over people's shoulders: the wrong person's ID is not repeated."""
    for code in (RefusalCode.UNKNOWN_PERSON, RefusalCode.WRONG_PERSON):
        assert "P-001" not in said(code, subject="P-001")
