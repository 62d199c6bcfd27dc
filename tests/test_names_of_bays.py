"""What a new bay is called where nobody says."""

from __future__ import annotations

import asyncio
from typing import TYPE_CHECKING

import pytest

from readbell.assembly import live_bay
from readbell.bay.opening import Founding
from readbell.core.board.events import Ending, Mode
from readbell.stations.joining import Asked, join

if TYPE_CHECKING:
    from pathlib import Path

    from server import Database

UNNAMED = Founding(timezone="UTC", mode=Mode.LIVE)


@pytest.fixture(autouse=True)
def own_folders(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """Neither find nor leave anything in the folders of whoever runs the tests."""
    for name in ("DATA", "STATE", "CACHE", "CONFIG"):
        monkeypatch.setenv(f"XDG_{name}_HOME", str(tmp_path / name))


async def test_a_new_bay_of_which_nobody_says_the_name_is_called_bay(tmp_path: Path) -> None:
    """Whoever only tries it out need not think of one."""
    path = tmp_path / "bay.journal"
    async with live_bay(path, UNNAMED, lambda _: None, lambda: Ending.SIGNAL) as (bay, _):
        founded = bay.present().board.founded

    assert founded is not None
    assert founded.bay == "Bay"


async def test_a_new_shared_bay_of_which_nobody_says_the_name_bears_that_on_the_server(
    tmp_path: Path, database: Database
) -> None:
    """The record that a station joined would else be called otherwise than the bay in it."""
    asked = Asked(
        address=database.address,
        bay="Mill Lane",
        is_new=True,
        station="window",
        hears=frozenset(),
        lanes=frozenset(),
        sets_policy=False,
        path=tmp_path / "bay.station",
    )
    await asyncio.to_thread(join, asked, lambda _done, _of: None)
    async with live_bay(asked.path, UNNAMED, lambda _: None, lambda: Ending.SIGNAL) as (bay, _):
        founded = bay.present().board.founded

    assert founded is not None
    assert founded.bay == "Mill Lane"
