"""Whether what the program was started on is a terminal that a board can be shown on."""

from __future__ import annotations

import io
import os

import pytest

from readbell.ui.terminal import warnings, why_not


class Window(io.StringIO):
    """A stream that is a terminal or is none."""

    def __init__(self, *, is_terminal: bool) -> None:
        super().__init__()
        self._is_terminal = is_terminal

    def isatty(self) -> bool:
        """Say which."""
        return self._is_terminal

    def fileno(self) -> int:
        """Return a descriptor that is nobody's terminal."""
        return os.open(os.devnull, os.O_RDONLY)


def asked(environment: dict[str, str], *, keyboard: bool = True, screen: bool = True) -> str | None:
    """Ask whether the board can be shown."""
    return why_not(
        environment,
        keyboard=Window(is_terminal=keyboard),
        screen=Window(is_terminal=screen),
        hangup_ignored=lambda: "NOHUP" in environment,
    )


def test_a_terminal_as_it_should_be_is_taken() -> None:
    """With settings of the library that harm nobody."""
    assert asked({"TERM": "xterm", "TEXTUAL_DISABLE_KITTY_KEY": "1", "TEXTUALLY": "1"}) is None


@pytest.mark.parametrize(
    "name", ["TEXTUAL", "TEXTUAL_LOG", "TEXTUAL_DEBUG", "TEXTUAL_PRESS", "TEXTUAL_SCREENSHOT"]
)
def test_settings_that_spy_are_refused_by_name(name: str) -> None:
    """One of them writes every key into a file."""
    refused = asked({name: "1"})
    assert refused is not None
    assert refused.startswith(f"{name} would let what is scanned out")


@pytest.mark.parametrize(
    ("refused", "word"),
    [
        (asked({}, keyboard=False), "its input is none"),
        (asked({}, screen=False), "its output is none"),
        (asked({"NOHUP": "1"}), "Under nohup"),
    ],
)
def test_what_is_no_window_is_refused_in_one_sentence(refused: str | None, word: str) -> None:
    """And it says what to do instead."""
    assert refused is not None
    assert word in refused
    assert refused.count(". ") == 0


def test_a_locale_that_is_not_utf8_is_told(monkeypatch: pytest.MonkeyPatch) -> None:
    """Names with accents would be refused, and nobody would know why."""
    monkeypatch.setattr("locale.getencoding", lambda: "UTF-8")
    assert warnings() == ()
    monkeypatch.setattr("locale.getencoding", lambda: "ANSI_X3.4-1968")
    (told,) = warnings()
    assert "not UTF-8" in told
    assert "plain signs" in told
