"""A live bay, and a front before it, for tests of what stands between the two."""

from __future__ import annotations

from typing import TYPE_CHECKING

import pytest

from builders import NASAL
from readbell.assembly import desk, live_bay
from readbell.bay.bay_thread import BayThread
from readbell.bay.opening import Founding
from readbell.core.board.events import Ending, Mode
from readbell.hand.given import Key, Pressed, Scanned
from readbell.hand.scene import AtHand
from readbell.settings.site_settings import SiteSettings
from readbell.ui.front import Front

if TYPE_CHECKING:
    from collections.abc import Iterator
    from pathlib import Path

    from readbell.bay.news import News
    from readbell.hand.given import Given

LIVE = Founding(bay="Harrow Quay", timezone="Europe/London", mode=Mode.LIVE)
SHELF = (AtHand(id=NASAL.id, title=NASAL.title),)


@pytest.fixture
def bay(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Iterator[BayThread]:
    """A live bay on the system's clock; nothing lands in the folders of whoever runs the tests."""
    monkeypatch.setenv("XDG_STATE_HOME", str(tmp_path / "state"))
    monkeypatch.setenv("XDG_CACHE_HOME", str(tmp_path / "cache"))
    told: list[News] = []
    thread = BayThread(
        lambda: live_bay(
            tmp_path / "bay.journal", LIVE, told.append, lambda: Ending.LEFT, SiteSettings()
        )
    )
    thread.start()
    yield thread
    thread.stop()


@pytest.fixture
def front(bay: BayThread) -> Front:
    """The front of a bay on which the first operator is registered by hand."""
    made = Front(bay, desk(), shelf=SHELF)
    give(made, Pressed(Key.ROOMS), Pressed(Key.RIGHT), Pressed(Key.START), Scanned("op-1"))
    give(made, Pressed(Key.START))
    return made


def give(front: Front, *given: Given) -> None:
    """Give all of it, one after another."""
    for each in given:
        front.process(each)
