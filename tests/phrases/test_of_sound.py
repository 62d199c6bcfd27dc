"""How the alarm is doing, in words that need no ear and no colour."""

from __future__ import annotations

from dataclasses import replace
from datetime import UTC
from typing import TYPE_CHECKING

import pytest

from builders import Bench, at, span
from readbell.core.board.acts import HearAlert, MuteSound, TryAlarm
from readbell.core.board.alarm import NO_SOUND
from readbell.core.board.events import AlarmTested, AlertHeard, MuteReason
from readbell.core.board.sound import LateScreen, Sounding
from readbell.core.cartridge.events import AlertKind
from readbell.core.refusal import Refusal, RefusalCode
from readbell.phrases.clock_time import ClockFace
from readbell.phrases.of_sound import (
    MUTE_REASONS,
    how_it_sounds,
    say_late_screen,
    tell_of_sound,
    what_changed,
)
from readbell.phrases.refusals import Tried, say_refusal

if TYPE_CHECKING:
    from phrases.conftest import Properly

FACE = ClockFace(zone=UTC)
WELL = Sounding(can_sound=True)
FAULT = "the sound command failed: it ended with status 3"


@pytest.fixture
def bench() -> Bench:
    """C1 can be read from 17:30 to 22:30."""
    bench = Bench()
    bench.to_well()
    return bench


def standing(bench: Bench, sounding: Sounding = WELL, now: str = "18:00") -> list[str]:
    """What keeps the alarm from being heard."""
    return list(how_it_sounds(bench.board, sounding, at(now), FACE))


def test_an_alarm_that_rings_well_needs_no_words(bench: Bench) -> None:
    """A calm board says nothing that nobody has to act on."""
    assert standing(bench) == []
    bench.must(TryAlarm(by="op-1", heard=True))
    assert standing(bench) == []


def test_a_mute_is_shown_to_the_second_until_it_ends(bench: Bench) -> None:
    """Silence must never pass for calm."""
    bench.must(MuteSound(by="op-1", reason=MuteReason.DISTRESS, span=span("5:00.001")), "18:00")

    assert standing(bench, now="23:00") == [f"MUTED until {FACE.time(at('23:01'))}"]
    assert standing(bench, now="23:00.001") == []


@pytest.mark.parametrize(
    ("sounding", "says"),
    [
        (Sounding(), "NO SOUND: nothing here can ring"),
        (replace(WELL, failed="OSError"), "NO SOUND: the alarm failed (OSError)"),
        (replace(WELL, command_fault=FAULT), f"NO SOUND COMMAND: {FAULT}"),
    ],
)
def test_an_alarm_that_cannot_be_heard_says_so(bench: Bench, sounding: Sounding, says: str) -> None:
    """Whoever trusts a bell that is none comes too late."""
    (line,) = standing(bench, sounding)

    assert line.startswith(says)


def test_an_alarm_test_that_was_not_heard_is_not_forgotten(bench: Bench) -> None:
    """It stays on the board until somebody hears one."""
    bench.must(TryAlarm(by="op-1", heard=False))
    assert [each[:22] for each in standing(bench)] == ["NO SOUND: the alarm te"]


def test_whoever_heard_no_alarm_is_told_what_to_turn_up() -> None:
    """On a computer that was set up a minute ago the bell of the terminal is off more often than not."""
    event = AlarmTested(at=at("0:00"), by="key-op-1", heard=False)
    said = tell_of_sound(event, Bench().board, ClockFace(zone=UTC))

    assert said.startswith("NO SOUND: ")
    assert "Turn the computer's sound and the bell of the terminal up, and test again" in said


def test_each_change_is_told_once_in_either_direction() -> None:
    """A log tells when it broke and when it was mended."""
    broken = replace(WELL, failed="OSError", command_fault=FAULT)

    assert list(what_changed(WELL, WELL)) == []
    assert [each.split(":")[0] for each in what_changed(WELL, broken)] == [
        "NO SOUND",
        "NO SOUND COMMAND",
    ]
    assert list(what_changed(broken, broken)) == []
    assert list(what_changed(broken, WELL)) == [
        "The alarm works again.",
        "The sound command works again.",
    ]


def test_a_screen_that_stood_still_says_for_how_long() -> None:
    """What was on it meanwhile was old."""
    late = replace(WELL, late_screen=LateScreen(back_at=at("18:00"), span=span("0:06.900")))

    assert say_late_screen(WELL) is None
    assert say_late_screen(late) == "SCREEN LATE 6 s: trust the sound"
    assert list(what_changed(WELL, late)) == ["SCREEN LATE 6 s: trust the sound"]
    assert list(what_changed(late, replace(late, command_fault=None))) == []


def test_what_was_heard_names_its_cartridge(bench: Bench) -> None:
    """One at a time: the others go on sounding."""
    (event,) = bench.must(HearAlert(by="op-1", cartridge="C1"), "18:00")
    assert isinstance(event, AlertHeard)

    assert tell_of_sound(event, bench.board, FACE).startswith("C1 heard: read now.")
    unknown = replace(event, cartridge="id-C9", alert=AlertKind.CLOSING)
    assert tell_of_sound(unknown, bench.board, FACE).startswith("A cartridge heard: closing.")


def test_each_reason_to_mute_has_words() -> None:
    """They are what is chosen from on the screen."""
    assert set(MUTE_REASONS) == set(MuteReason)


@pytest.mark.parametrize(
    ("act", "now", "says"),
    [
        (HearAlert(by="op-1", cartridge="C1"), "22:00", "C1 is in the last minute of its window."),
        (HearAlert(by="op-1", cartridge="C1"), "10:00", "Nothing calls for C1."),
        (
            MuteSound(by="op-1", reason=MuteReason.OTHER, span=span("11:00")),
            "10:00",
            "A mute lasts 10:00 at most.",
        ),
    ],
)
def test_each_refusal_says_what_to_do(
    bench: Bench, properly: Properly, act: HearAlert | MuteSound, now: str, says: str
) -> None:
    """One line: what is so, why, and what to do now."""
    refusal = bench.refused(act, now)
    words = say_refusal(refusal, Tried(cartridge="C1", now=at(now)), FACE)

    assert words.startswith(says)
    assert properly(words) == 2


def test_a_test_of_nothing_is_refused_in_words(properly: Properly) -> None:
    """The bay itself refuses it; it has the same kind of sentence."""
    refusal = Refusal(code=RefusalCode.NOT_ALLOWED, subject=NO_SOUND)

    assert properly(say_refusal(refusal, Tried(cartridge="", now=at("0:00")), FACE)) == 2
