"""What has yet to leave stands in the top line, on every page."""

from __future__ import annotations

import pytest

from builders import at
from core.board.sending_bench import SendingBench
from ui.pages import SIZES, painted, present, text

NOW = at("30:00")


@pytest.mark.parametrize("size", SIZES)
def test_the_header_counts_what_has_yet_to_leave(size: tuple[int, int]) -> None:
    """And is silent once it has, or where the site expects nothing."""
    made = SendingBench()
    for number in (1, 2):
        made.read(f"C{number}", f"P-00{number}")
    assert "2 to send" in text(painted(present(made.board, now=NOW), *size))
    made.must(made.note("C1", "C2"), "29:00")
    assert "to send" not in text(painted(present(made.board, now=NOW), *size))
    nobody_asks = SendingBench()
    nobody_asks.read()
    nobody_asks.decides()
    assert "to send" not in text(painted(present(nobody_asks.board, now=NOW), *size))
