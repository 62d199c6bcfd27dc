"""A long record adds up to the same in little memory as in much."""

from __future__ import annotations

from contextlib import closing
from typing import TYPE_CHECKING

import pytest

from readbell.cli.main import main
from readbell.journal import summing_up
from readbell.journal.snapshot import read_snapshot
from readbell.journal.sqlite import SqliteJournal
from readbell.journal.summing_up import sum_up
from readbell.journal.verify import verify

if TYPE_CHECKING:
    from pathlib import Path


@pytest.fixture
def journal(tmp_path: Path) -> Path:
    """A journal of practice."""
    path = tmp_path / "day.journal"
    scenario = "demo_scenarios/household_of_six.toml"
    assert main(["rehearse", scenario, "--unattended", "--journal", str(path)]) == 0
    return path


@pytest.mark.parametrize("each", [7, 50, 20_000])
def test_however_long_the_stretches_are_it_adds_up_to_the_same(
    journal: Path, each: int, monkeypatch: pytest.MonkeyPatch
) -> None:
    """What is packed between them is unpacked as it was."""
    monkeypatch.setattr(summing_up, "EACH", each)
    told: list[tuple[int, int]] = []
    with closing(SqliteJournal.open(journal, read_only=True)) as source:
        found = sum_up(source, lambda done, of: told.append((done, of)))
        whole = verify(source)
    assert found.head == whole.head
    assert found.board == whole.board
    assert told[-1] == (whole.head.seq, whole.head.seq)
    assert (found.parts is None) == (each > whole.head.seq)


def test_what_was_packed_on_the_way_is_a_snapshot_to_start_from(
    journal: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """The next one begins there, and packs nothing again."""
    monkeypatch.setattr(summing_up, "EACH", 20)
    with closing(SqliteJournal.open(journal)) as source:
        found = sum_up(source, lambda _done, _of: None)
        assert found.parts is not None
        snapshot = read_snapshot(found.parts)
        assert snapshot is not None
        assert found.head.seq - snapshot.head.seq < 20
        assert source.keep_snapshot(found.parts, frozenset(), source.erasures())
        again = sum_up(source, lambda _done, _of: None)
    assert again.parts is None
    assert again.board == found.board
    assert again.head == found.head
