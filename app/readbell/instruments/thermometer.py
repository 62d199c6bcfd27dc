"""A thermometer of the site: a program of theirs that prints one line of degrees for each figure.

No shell reads its command. It is never waited for, and what it prints is taken as
degrees Celsius or not at all.
"""

from __future__ import annotations

import contextlib
import math
import os
import signal
import subprocess
import sys
import threading
from typing import TYPE_CHECKING

from readbell.core.climate.events import ThermometerFault

if TYPE_CHECKING:
    from collections.abc import Callable, Sequence

    Told = Callable[[float | ThermometerFault], None]

LONGEST_LINE = 80
"""A longer line is no figure, whatever it begins with."""


class Thermometer:
    """Runs one command and tells each figure that it prints.

    Args:
        arguments: the program and what it is given.
        told: called in a thread of its own with degrees Celsius, or with what is wrong.
    """

    def __init__(self, arguments: Sequence[str], told: Told) -> None:
        self._arguments = tuple(arguments)
        self._told = told
        self._process: subprocess.Popen[str] | None = None
        self._closed = threading.Event()
        self._thread = threading.Thread(target=self._run, name="readbell-thermometer", daemon=True)

    def start(self) -> None:
        """Begin to listen."""
        self._thread.start()

    def wait(self) -> None:
        """Wait until the program has ended."""
        self._thread.join()

    def close(self) -> None:
        """Listen no more, and end the program."""
        self._closed.set()
        process = self._process
        if process is not None and process.poll() is None:
            with contextlib.suppress(OSError):
                if sys.platform == "win32":
                    process.kill()
                else:
                    os.killpg(process.pid, signal.SIGKILL)

    def _run(self) -> None:
        try:
            process = self._process = subprocess.Popen(  # noqa: S603  # the site's own, no shell
                self._arguments,
                stdin=subprocess.DEVNULL,
                stdout=subprocess.PIPE,
                stderr=subprocess.DEVNULL,
                text=True,
                encoding="utf-8",
                errors="replace",
                start_new_session=True,
            )
        except (OSError, ValueError):
            self._tell(ThermometerFault.NOT_STARTED)
            return
        if self._closed.is_set():
            self.close()  # it was closed before there was a program to end
        assert process.stdout is not None  # noqa: S101  # asked for above
        with process.stdout as lines:
            was_no_figure = False
            while text := lines.readline(LONGEST_LINE):
                found = degrees(text)
                if found is None and was_no_figure:
                    continue  # said once, until it makes sense again
                was_no_figure = found is None
                self._tell(ThermometerFault.NO_FIGURE if found is None else found)
        process.wait()
        self._tell(ThermometerFault.ENDED)

    def _tell(self, said: float | ThermometerFault) -> None:
        if not self._closed.is_set():
            self._told(said)


def degrees(text: str) -> float | None:
    """Return the degrees that a line writes, or None if it writes none."""
    try:
        found = float(text)
    except ValueError:
        return None
    return found if math.isfinite(found) else None
