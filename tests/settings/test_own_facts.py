"""What a computer says of itself when a shift is opened: what it cannot say, it does not."""

from __future__ import annotations

from typing import TYPE_CHECKING

import pytest

from builders import NASAL, Bench
from readbell.assays.content_hash import content_hash
from readbell.settings import own_facts as module
from readbell.settings.own_facts import own_facts
from readbell.settings.places import settings_file

if TYPE_CHECKING:
    from pathlib import Path


@pytest.fixture(autouse=True)
def own_folder(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """Nobody's own settings are looked at."""
    monkeypatch.setenv("XDG_CONFIG_HOME", str(tmp_path / "config"))


@pytest.mark.parametrize(
    ("now", "changed"),
    [(content_hash(NASAL), ()), ("other", (NASAL.id,)), (None, (NASAL.id,))],
)
def test_a_file_that_says_something_else_or_is_gone_is_named(
    now: str | None, changed: tuple[str, ...]
) -> None:
    """Its figures are no longer those that somebody held against the kit."""
    found = own_facts(Bench().board, None, clock_is_set=None, hash_of=lambda _: now)
    assert found.changed_assays == changed
    assert found.clock_is_set is None
    assert found.record_is_whole is None


def test_room_is_told_of_the_disk_under_the_record(tmp_path: Path) -> None:
    """None where there is no such disk."""
    board = Bench().board

    def free(journal: Path | None) -> int | None:
        return own_facts(board, journal, clock_is_set=True, hash_of=lambda _: None).disk_free

    assert (free(tmp_path / "bay.journal") or 0) > 0
    assert free(None) is None
    assert free(tmp_path / "none" / "bay.journal") is None


def test_settings_with_a_fault_are_not_fine() -> None:
    """None at all are."""
    assert module._settings_are_fine()
    settings_file().parent.mkdir(parents=True)
    settings_file().write_text("bel = true\n", encoding="utf-8")
    assert not module._settings_are_fine()
