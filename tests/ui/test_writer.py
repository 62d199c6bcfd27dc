"""What writes the picture never ends of itself: a picture that stands still looks like the truth."""

from __future__ import annotations

import os
import threading
from typing import TYPE_CHECKING

import pytest

from patience import PATIENCE_SECONDS
from readbell.ui.writer import Writer

if TYPE_CHECKING:
    from collections.abc import Iterator


class OnceWrong(Writer):
    """One that fails at the first thing it is to write."""

    failures = 0

    def _put(self, data: bytes) -> None:
        if not self.failures:
            self.failures += 1
            raise LookupError
        super()._put(data)


@pytest.fixture
def pipe() -> Iterator[tuple[int, int]]:
    """Both ends of a pipe."""
    reading, writing = os.pipe()
    yield reading, writing
    os.close(reading)
    os.close(writing)


def test_a_fault_is_told_and_what_comes_after_it_is_written(pipe: tuple[int, int]) -> None:
    """The board is then made anew, and the codes that give the terminal back must still get out."""
    reading, writing = pipe
    faults: list[Exception] = []
    told = threading.Event()

    def hear(error: Exception) -> None:
        faults.append(error)
        told.set()

    writer = OnceWrong(writing, hear)
    writer.start()
    writer.write("lost")
    assert told.wait(PATIENCE_SECONDS)
    writer.write("given back")
    writer.stop()

    assert os.read(reading, 100) == b"given back"
    writer.join(PATIENCE_SECONDS)
    assert [type(each) for each in faults] == [LookupError]
    assert not writer.behind
