"""How a program that runs all day is told to end, even while nobody reads its output."""

from __future__ import annotations

import os
import select
import signal
import sys
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from collections.abc import Callable
    from types import FrameType

ENDING_SIGNALS = ("SIGTERM", "SIGHUP", "SIGINT")


class OutputBlockedError(BaseException):
    """The word to end came while a line could not be written: break off, or it would never end.

    Not an Exception, so that nothing between the write and the end takes it for one.
    """


def listen_for_signals(end: Callable[[], None]) -> None:
    """Call `end` when the computer or the person asks the program to end.

    A write that is blocked goes on after a signal as if nothing had come; so if
    there is no room for more output, `OutputBlockedError` is raised out of it.
    """

    def handle(_: int, __: FrameType | None) -> None:
        end()
        if not has_room(sys.stdout.fileno()):
            raise OutputBlockedError

    for name in ENDING_SIGNALS:
        if hasattr(signal, name):  # Windows has not all of them
            signal.signal(getattr(signal, name), handle)


def has_room(output: int) -> bool:
    """Say whether a line can be written to the descriptor `output` without waiting."""
    try:
        return bool(select.select([], [output], [], 0)[1])
    except (OSError, ValueError):
        return True  # no system tells this of every kind of output


def give_up_output() -> None:
    """Let whatever is still to be written go nowhere, so that ending waits for nobody."""
    nowhere = os.open(os.devnull, os.O_WRONLY)
    os.dup2(nowhere, sys.stdout.fileno())
    os.close(nowhere)
