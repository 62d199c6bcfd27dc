"""How a program is told to end, even while nobody reads its output, and what it does without one."""

from __future__ import annotations

import errno
import os
import select
import signal
import sys
from typing import TYPE_CHECKING, TypeGuard

if TYPE_CHECKING:
    from collections.abc import Callable
    from types import FrameType

FULL = frozenset({errno.ENOSPC, errno.EDQUOT, errno.EFBIG, errno.EIO})
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


def is_of_output(error: BaseException) -> TypeGuard[OSError]:
    """Say whether `error` is of an output that takes no more, as a file on a full disk does.

    Whatever else is written has a name, and whoever writes it says it.
    """
    return isinstance(error, OSError) and error.filename is None and error.errno in FULL


def give_closed_streams() -> None:
    """Give a program that was started without one of its streams one that goes nowhere.

    Python has None there, and what was meant for the other channel would go to this one.
    """
    for name, mode in (("stdin", "r"), ("stdout", "w"), ("stderr", "w")):
        if getattr(sys, name) is None:
            setattr(sys, name, open(os.devnull, mode, encoding="utf-8"))  # noqa: SIM115, PTH123


def give_up_output() -> None:
    """Let whatever is still to be written go nowhere, so that ending waits for nobody."""
    nowhere = os.open(os.devnull, os.O_WRONLY)
    os.dup2(nowhere, sys.stdout.fileno())
    os.close(nowhere)
