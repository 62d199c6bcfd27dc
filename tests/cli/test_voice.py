"""What a bay tells in plain lines: only when asked to, in order, and whatever the terminal can show."""

from __future__ import annotations

import io
import sys

import pytest

from builders import START, Bench, span
from readbell.bay.news import News, Return
from readbell.cli.voice import Voice
from readbell.core.cartridge.events import AlertKind, AlertRaised


def news(bench: Bench) -> News:
    """READ NOW for C1."""
    event = AlertRaised(at=START, cartridge="id-C1", alert=AlertKind.READ_NOW, due=START, step="")
    return News(board=bench.board, events=(event,), at=START, wall=START, not_saved=None)


@pytest.fixture
def bench() -> Bench:
    """A bench with C1 on it."""
    made = Bench()
    made.label()
    return made


def test_it_speaks_only_while_no_board_shows_it(
    bench: Bench, capsys: pytest.CaptureFixture[str]
) -> None:
    """Lines printed over a board would tear it."""
    voice = Voice()
    voice.hear(news(bench))
    voice.speak_up()
    voice.hear(news(bench))
    voice.hush()
    voice.hear(news(bench))
    voice.fall_silent()

    assert capsys.readouterr().out.count("C1") == 1


def test_taken_up_again_it_tells_first_what_happened_meanwhile(
    bench: Bench, capsys: pytest.CaptureFixture[str]
) -> None:
    """And where everything stands."""
    found = Return(
        is_new=False, clean=False, away=span("4:10"), fell_due=(), unsure=(), branches=()
    )
    voice = Voice()
    voice.speak_up(found, news(bench))
    voice.say(lambda: ["Ready."])
    voice.fall_silent()
    out = capsys.readouterr().out

    assert "4:10" in out
    assert out.index("C1") < out.index("Ready.")


def test_a_sign_that_cannot_be_shown_silences_nothing(monkeypatch: pytest.MonkeyPatch) -> None:
    """One wrong byte in a name must not make an alarm mute."""
    shown = io.TextIOWrapper(io.BytesIO(), encoding="ascii")
    monkeypatch.setattr(sys, "stdout", shown)
    voice = Voice()
    voice.say(lambda: ["M\udcfcller", "READ NOW C07"])
    voice.fall_silent()
    shown.seek(0)

    assert shown.read().splitlines() == [r"M\udcfcller", "READ NOW C07"]


def test_a_terminal_that_is_gone_is_not_waited_for(monkeypatch: pytest.MonkeyPatch) -> None:
    """Nobody is left to read it, and the bay goes on."""
    gone = io.StringIO()
    gone.close()
    monkeypatch.setattr(sys, "stdout", gone)
    voice = Voice()
    voice.say(lambda: ["READ NOW C07"])
    voice.say(lambda: ["CLOSING C07"])
    voice.fall_silent()
