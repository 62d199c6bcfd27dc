"""What is asked of a terminal before the board is shown on it, and of the system around it."""

from __future__ import annotations

import locale
import os
import signal
import sys
from typing import TYPE_CHECKING, TextIO

if TYPE_CHECKING:
    from collections.abc import Callable, Mapping

LIBRARY = "TEXTUAL"
HARMLESS = frozenset({"TEXTUAL_ANIMATIONS", "TEXTUAL_DISABLE_KITTY_KEY", "TEXTUAL_FPS"})
"""Settings of the library that write nothing down, press no key and show nobody else the screen."""


def why_not(
    environment: Mapping[str, str],
    *,
    keyboard: TextIO | None = None,
    screen: TextIO | None = None,
    hangup_ignored: Callable[[], bool] | None = None,
) -> str | None:
    """Return in one sentence why the board cannot be shown here; None if it can."""
    keyboard, screen = keyboard or sys.stdin, screen or sys.stdout
    spying = sorted(name for name in environment if _is_spying(name))
    if spying:
        return (
            f"{' and '.join(spying)} would let what is scanned out of this program:"
            " unset it, then start again."
        )
    for stream, what in ((keyboard, "input"), (screen, "output")):
        if not stream.isatty():
            return (
                f"The board needs a terminal, and its {what} is none:"
                " start it in a terminal window, or use --plain."
            )
    if (hangup_ignored or _hangup_ignored)():
        return (
            "Under nohup the board would run on unseen when its window is closed:"
            " start it without, in a terminal multiplexer if it is to stay."
        )
    if not _in_foreground(keyboard):
        return "The board cannot be shown from the background: start it without &."
    return None


def shows_all_signs() -> bool:
    """Say whether the terminal is set to show more than plain signs."""
    return locale.getencoding().lower().replace("-", "") == "utf8"


def warnings() -> tuple[str, ...]:
    """Return what is not as it should be, though the board can be shown: one sentence each."""
    if shows_all_signs():
        return ()
    sentence = (
        f"This terminal is set to {locale.getencoding()}, not UTF-8: the board is drawn with plain"
        " signs, and scans with accented letters will be refused; set LC_ALL to a UTF-8 locale."
    )
    return (sentence,)


def _is_spying(name: str) -> bool:
    return (name == LIBRARY or name.startswith(f"{LIBRARY}_")) and name not in HARMLESS


def _hangup_ignored() -> bool:
    hangup = getattr(signal, "SIGHUP", None)
    return hangup is not None and signal.getsignal(hangup) is signal.SIG_IGN


def _in_foreground(keyboard: TextIO) -> bool:
    if not hasattr(os, "tcgetpgrp"):
        return True
    try:
        return os.tcgetpgrp(keyboard.fileno()) == os.getpgrp()
    except OSError:
        # A terminal that is nobody's own, as under some remote shells, has no background.
        return True
