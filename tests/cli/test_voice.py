"""What a bay tells in plain lines: only when asked to, in order, and whatever the terminal can show."""

from __future__ import annotations

import io
import sys
import threading

import pytest

from builders import START, Bench, span
from patience import PATIENCE_SECONDS
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


def test_what_is_left_is_said_however_long_a_busy_machine_takes_to_find_it(
    capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch
) -> None:
    """The last line says that work is laid down, or why not."""
    voice, may_go_on = Voice(), threading.Event()
    join, waits = voice._thread.join, list[float | None]()

    def held_up(timeout: float | None = None) -> None:
        waits.append(timeout)
        if len(waits) > 1_000:  # as if each time were over before the other thread had a turn
            may_go_on.set()
            join(timeout)

    def find() -> list[str]:
        assert may_go_on.wait(PATIENCE_SECONDS)
        return ["Work is laid down."]

    monkeypatch.setattr(voice._thread, "join", held_up)
    voice.say(find)
    voice.fall_silent()
    may_go_on.set()

    assert capsys.readouterr().out == "Work is laid down.\n"


def test_a_terminal_that_reads_nothing_is_not_waited_for_at_the_end(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    """Somebody marked text in the window, and the program is told to end."""
    may_write, writes = threading.Event(), threading.Event()

    class Full(io.StringIO):
        """A terminal that takes nothing."""

        def write(self, _: str) -> int:
            """Wait until it is read."""
            writes.set()
            return int(may_write.wait(PATIENCE_SECONDS))

    monkeypatch.setattr(sys, "stdout", Full())
    voice = Voice()
    voice.say(lambda: ["READ NOW C07"])
    assert writes.wait(PATIENCE_SECONDS)

    voice.fall_silent()

    assert voice._thread.is_alive()
    may_write.set()
    voice._thread.join(PATIENCE_SECONDS)


def test_a_terminal_that_is_gone_is_not_waited_for(monkeypatch: pytest.MonkeyPatch) -> None:
    """Nobody is left to read it, and the bay goes on."""
    gone = io.StringIO()
    gone.close()
    monkeypatch.setattr(sys, "stdout", gone)
    voice = Voice()
    voice.say(lambda: ["READ NOW C07"])
    voice.say(lambda: ["CLOSING C07"])
    voice.fall_silent()
