"""The program with pipes in the place of a terminal."""

from __future__ import annotations

import subprocess
import time
from contextlib import suppress
from typing import TYPE_CHECKING

import pytest

from patience import PATIENCE_SECONDS
from ui.terminal_for_tests import now

if TYPE_CHECKING:
    from collections.abc import Callable, Sequence
    from pathlib import Path


class PlainLines:
    """The program with pipes for a keyboard and a screen."""

    def __init__(self, command: Sequence[str], environment: dict[str, str], output: Path) -> None:
        self._output = output
        # A file for what it says: nothing then waits for a reader, and no letter is lost.
        with output.open("wb") as file:
            self.process = subprocess.Popen(
                command,
                stdin=subprocess.PIPE,
                stdout=file,
                stderr=subprocess.STDOUT,
                env=environment,
                start_new_session=True,
            )

    @property
    def said(self) -> list[str]:
        """All whole lines so far; of one that is being written no letter may be whole."""
        said = self._output.read_bytes()
        return said[: said.rfind(b"\n") + 1].decode("utf-8").split("\n")[:-1]

    def say(self, *lines: str | bytes) -> None:
        """Type lines."""
        assert self.process.stdin is not None
        for each in lines:
            data = each if isinstance(each, bytes) else each.encode()
            self.process.stdin.write(data + b"\n")
        self.process.stdin.flush()

    def until(self, is_so: Callable[[], bool], patience: float = PATIENCE_SECONDS) -> None:
        """Wait until `is_so`."""
        deadline = now() + patience
        while not is_so():
            if now() > deadline:
                pytest.fail(f"not within {patience} s; said:\n" + "\n".join(self.said))
            time.sleep(0.01)

    def until_said(self, words: str, behind: int = 0) -> str:
        """Wait for a line with `words`, behind the first `behind` lines; return it."""
        self.until(lambda: any(words in each for each in self.said[behind:]))
        return next(each for each in self.said[behind:] if words in each)

    def ask(self, line: str, words: str) -> list[str]:
        """Type one line and wait until `words` come of it; return all that came."""
        before = len(self.said)
        self.say(line)
        self.until_said(words, before)
        return self.said[before:]

    def end_of_input(self) -> None:
        """Close its input."""
        assert self.process.stdin is not None
        with suppress(BrokenPipeError):
            self.process.stdin.close()

    def wait(self, patience: float = PATIENCE_SECONDS) -> int:
        """Wait for its end; return its exit status."""
        return self.process.wait(patience)

    def close(self) -> None:
        """End whatever still runs."""
        if self.process.poll() is None:
            self.process.kill()
            self.process.wait()
        self.end_of_input()
