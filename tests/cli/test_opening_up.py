"""What a first start was told is entered; where another station was quicker, that is said."""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING

import pytest

from builders import NASAL
from readbell.assembly import desk, live_bay
from readbell.bay.bay_thread import BayThread
from readbell.bay.opening import Founding
from readbell.cli.opening_up import ANSWERED_ELSEWHERE, settle_in
from readbell.core.board.events import Ending, Mode
from readbell.core.errors import ReadbellError
from readbell.hand.first_start import first_requests
from readbell.hand.scene import AtHand
from readbell.settings.site_settings import SiteSettings

if TYPE_CHECKING:
    from pathlib import Path

    from readbell.scenarios.line import Request

LIVE = Founding(bay="Harrow Quay", timezone="Europe/London", mode=Mode.LIVE)
SHELF = (AtHand(id=NASAL.id, title=NASAL.title),)


def answers(operator: str, lot: str, expires: str = "2099-12-31") -> tuple[Request, ...]:
    """Return what somebody answered at a first start."""
    said = {"operator": operator, "assay": "1", "instructions": "leaflet of 2026-01", "lot": lot}
    return first_requests({**said, "expires": expires, "units": "20"}, SHELF)


def test_of_two_first_starts_at_once_the_second_is_told_that_another_station_was_quicker(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Two people open the boards of a new shared bay, and both answer all its questions."""
    monkeypatch.setenv("XDG_STATE_HOME", str(tmp_path / "state"))
    monkeypatch.setenv("XDG_CACHE_HOME", str(tmp_path / "cache"))
    path = tmp_path / "bay.journal"
    thread = BayThread(
        lambda: live_bay(path, LIVE, lambda _: None, lambda: Ending.LEFT, SiteSettings())
    )
    found = thread.start()
    try:
        first = answers("op-1", "L-100")
        settle_in(thread, desk(), SHELF, first, found, tests_alarm=True)
        lots = set(thread.present().board.lots)
        assert lots == {"L-100"}

        for late in (answers("op-2", "L-300"), answers("op-1", "L-300")):
            with pytest.raises(ReadbellError, match="another station answered") as told:
                settle_in(thread, desk(), SHELF, late, found, tests_alarm=True)
            assert str(told.value) == ANSWERED_ELSEWHERE
        assert set(thread.present().board.lots) == lots

        joined = replace(found, is_new=False, new_station="bench")
        said = settle_in(thread, desk(), SHELF, (), joined, tests_alarm=False).present().hand.said
        assert said is not None
        assert said.words == "Station bench is new here. 0 running."
    finally:
        thread.stop()
