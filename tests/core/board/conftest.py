"""What tests of the board ask for by name."""

from __future__ import annotations

import pytest

from core.board.stations_bench import SharedBay, both_developing


@pytest.fixture
def bay() -> SharedBay:
    """C1 develops on the clock of the window, C2 on that of the bench."""
    return both_developing()
