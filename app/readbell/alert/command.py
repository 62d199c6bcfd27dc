"""A site's own sound command: a louder bell, a lamp, a pager.

It runs beside the bay and is never waited for. It is told what calls and how many,
and nothing else: no label, no ID, and none of what this program reads or writes.
"""

from __future__ import annotations

import contextlib
import os
import signal
import subprocess
import sys
import threading
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from collections.abc import Sequence

    from readbell.core.board.sound import Sound

LONGEST_SECONDS = 10.0
"""What runs longer is taken for stuck."""


class SoundCommand:
    """Runs one command for each sound, never two at once.

    Args:
        arguments: the program and what it is given; no shell reads them.
        patience: seconds after which a run is ended.
    """

    def __init__(self, arguments: Sequence[str], patience: float = LONGEST_SECONDS) -> None:
        self._arguments = tuple(arguments)
        self._patience = patience
        self._runner: threading.Thread | None = None
        self._process: subprocess.Popen[bytes] | None = None
        self.fault: str | None = None
        """Why the last run that ended failed; None if it did not."""

    def run(self, sound: Sound) -> None:
        """Begin a run for `sound`, unless one is still under way."""
        if self._runner is not None and self._runner.is_alive():
            return
        # Starting a program may wait for a disk; that is for a thread of its own as well.
        self._runner = threading.Thread(
            target=self._run, args=(sound,), name="readbell-sound", daemon=True
        )
        try:
            self._runner.start()
        except RuntimeError as error:
            self._runner = None
            self._fails(str(error))

    def wait(self) -> None:
        """Wait for the run that is under way, if there is one."""
        if self._runner is not None:
            self._runner.join()

    def close(self) -> None:
        """End the run that is under way."""
        process = self._process
        if process is not None:
            _end(process)

    def _run(self, sound: Sound) -> None:
        told = {"READBELL_ALERT": str(sound.kind), "READBELL_COUNT": str(sound.count)}
        try:
            process = subprocess.Popen(  # noqa: S603  # the site's own command, no shell
                self._arguments,
                stdin=subprocess.DEVNULL,
                stdout=subprocess.DEVNULL,
                stderr=subprocess.DEVNULL,
                env=os.environ | told,
                start_new_session=True,
            )
        except (OSError, ValueError) as error:
            reason = getattr(error, "strerror", None) or type(error).__name__
            self._fails(f"{self._arguments[0]}: {reason}")
            return
        self._process = process
        try:
            status = process.wait(self._patience)
        except subprocess.TimeoutExpired:
            _end(process)
            process.wait()
            self._fails(f"it ran longer than {self._patience:g} s")
        else:
            if status == 0:
                self.fault = None
            else:
                self._fails(f"it ended with status {status}")
        finally:
            self._process = None

    def _fails(self, why: str) -> None:
        self.fault = f"the sound command failed: {why}"


def _end(process: subprocess.Popen[bytes]) -> None:
    """End a run and whatever it started; it has a session of its own."""
    if process.poll() is not None:
        return  # gone by itself: its number may be somebody else's by now
    with contextlib.suppress(OSError):
        if sys.platform == "win32":
            process.kill()
        else:
            os.killpg(process.pid, signal.SIGKILL)
