"""Quietening the alarm: one cartridge at a time, or all for a stated while; and its test."""

from __future__ import annotations

import pytest

from builders import NEGATIVE, Bench, at, span
from readbell.core.board.acts import HearAlert, MuteSound, TryAlarm, Unmute
from readbell.core.board.alarm import LONGEST_MUTE, SUBJECTS, muted_until, nobody_hears
from readbell.core.board.events import (
    AlarmTested,
    AlertHeard,
    MuteReason,
    ProgramStarted,
    SoundMuted,
    SoundRestored,
)
from readbell.core.board.fold import fold
from readbell.core.cartridge.events import AlertKind
from readbell.core.errors import BrokenRecordError
from readbell.core.instant import Instant, Span
from readbell.core.refusal import RefusalCode

STARTED = ProgramStarted(at=at("20:00"), clean=True, away=Span(0), running=0)


def hear(label: str = "C1", by: str = "op-1") -> HearAlert:
    """The act that stops the sound of one cartridge."""
    return HearAlert(by=by, cartridge=label)


def mute(length: str = "5:00") -> MuteSound:
    """The act that stops all sound for so long."""
    return MuteSound(by="op-1", reason=MuteReason.CONVERSATION, span=span(length))


@pytest.fixture
def bench() -> Bench:
    """C1 can be read from 17:30 to 22:30, and is closing from 20:30."""
    bench = Bench()
    bench.to_well()
    return bench


@pytest.mark.parametrize("act", [hear(by="x"), Unmute(by="x"), TryAlarm(by="x", heard=True)])
def test_a_stranger_quietens_nothing(bench: Bench, act: HearAlert | Unmute | TryAlarm) -> None:
    """Who made the room silent must be known afterwards."""
    assert bench.refused(act, "18:00").code is RefusalCode.UNKNOWN_OPERATOR


@pytest.mark.parametrize(
    ("when", "alert"),
    [
        ("17:30", AlertKind.READ_NOW),
        ("20:29.999", AlertKind.READ_NOW),
        ("20:30", AlertKind.CLOSING),
        ("21:29.999", AlertKind.CLOSING),
    ],
)
def test_what_was_heard_is_what_called_then(bench: Bench, when: str, alert: AlertKind) -> None:
    """Having heard READ NOW says nothing of CLOSING."""
    (event,) = bench.must(hear(), when)

    assert event == AlertHeard(at=at(when), by="key-op-1", cartridge="id-C1", alert=alert)
    assert bench.board.heard["id-C1"] == event


@pytest.mark.parametrize("when", ["21:30", "22:30"])
def test_nothing_is_heard_away_in_the_last_minute(bench: Bench, when: str) -> None:
    """Half a minute of silence is too much of the last one."""
    refusal = bench.refused(hear(), when)

    assert refusal.code is RefusalCode.NOT_ALLOWED
    assert refusal.subject in SUBJECTS


@pytest.mark.parametrize("when", ["17:29.999", "22:30.001"])
def test_where_nothing_calls_nothing_is_heard(bench: Bench, when: str) -> None:
    """A key pressed early must not silence what comes after it."""
    assert bench.refused(hear(), when).subject in SUBJECTS


def test_a_cartridge_that_is_not_there_is_not_heard(bench: Bench) -> None:
    """The wrong name must not pass for the right one."""
    assert bench.refused(hear("C9"), "18:00").code is RefusalCode.UNKNOWN_CARTRIDGE


def test_what_was_heard_of_a_cartridge_goes_with_it(bench: Bench) -> None:
    """A day's cartridges must not pile up on the board."""
    bench.must(hear(), "18:00")
    bench.must(bench.read_act(NEGATIVE), "18:10")

    assert bench.board.heard == {}


def test_hearing_what_the_record_never_introduced_is_a_broken_record(bench: Bench) -> None:
    """Events about nothing are not passed over."""
    event = AlertHeard(at=at("18:00"), by="key-op-1", cartridge="id-C9", alert=AlertKind.CLOSING)
    with pytest.raises(BrokenRecordError):
        fold(bench.board, event)


@pytest.mark.parametrize("length", ["0:00.001", "10:00"])
def test_a_mute_has_a_reason_and_an_end(bench: Bench, length: str) -> None:
    """It times out by itself, to the millisecond."""
    (event,) = bench.must(mute(length), "18:00")
    ends = Instant(at("18:00") + span(length))

    assert event == SoundMuted(
        at=at("18:00"), by="key-op-1", reason=MuteReason.CONVERSATION, until=ends
    )
    assert muted_until(bench.board, Instant(ends - 1)) == ends
    assert muted_until(bench.board, ends) is None


@pytest.mark.parametrize("length", ["0:00", "10:00.001"])
def test_no_mute_is_empty_or_long(bench: Bench, length: str) -> None:
    """What lasts longer than ten minutes is forgotten, and then nothing rings."""
    refusal = bench.refused(mute(length), "18:00")

    assert (refusal.code, refusal.limit) == (RefusalCode.NOT_ALLOWED, LONGEST_MUTE)


def test_the_sound_can_be_given_back_at_any_time(bench: Bench) -> None:
    """Twice does no harm; being refused the sound would."""
    bench.must(mute(), "18:00")
    for when in ("18:10", "18:11"):
        assert bench.must(Unmute(by="op-1"), when) == (SoundRestored(at=at(when), by="key-op-1"),)
        assert muted_until(bench.board, at(when)) is None


@pytest.mark.parametrize("heard", [True, False])
def test_an_alarm_test_says_whether_anybody_hears(bench: Bench, heard: bool) -> None:
    """A bell that nobody hears is none, and the board must say so."""
    assert not nobody_hears(bench.board)
    event = AlarmTested(at=at("1:00"), by="key-op-1", heard=heard)

    assert bench.must(TryAlarm(by="op-1", heard=heard), "1:00") == (event,)
    assert bench.board.alarm_test == event
    assert nobody_hears(bench.board) is not heard


def test_a_program_started_anew_is_neither_muted_nor_tested(bench: Bench) -> None:
    """It may stand in another room, under other hands."""
    bench.must(mute("10:00"), "18:00")
    bench.must(TryAlarm(by="op-1", heard=True), "18:00")
    board = fold(bench.board, STARTED)

    assert (board.muted_until, board.alarm_test) == (None, None)
