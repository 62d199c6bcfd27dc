"""What somebody did at the keys can be done again, and comes to the same."""

from __future__ import annotations

import asyncio
import tempfile
from pathlib import Path
from typing import TYPE_CHECKING, Any

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from readbell.core.board.events import ActRefused, Mode
from readbell.core.board.fold import replay
from readbell.core.cartridge.events import (
    AlertRaised,
    CartridgeLabelled,
    CartridgeLapsed,
    CartridgeRead,
    CartridgeVoided,
    EarlyPositiveSeen,
    StepDone,
)
from readbell.core.practice.events import PracticeActed, PracticeBegun, SpeedSet
from readbell.hand.given import Key, Pressed, Scanned, Steer, Steered
from readbell.journal.errors import JournalError
from readbell.rehearsals import events_in, rehearse
from rehearsal.attempts import CLEAR, FAINT, HEAD, Sitting, person

if TYPE_CHECKING:
    from collections.abc import Iterator

    from readbell.core.board.event import Event
    from readbell.hand.given import Given

SECOND = 1_000
TOLD = (
    CartridgeLabelled,
    StepDone,
    EarlyPositiveSeen,
    CartridgeRead,
    CartridgeLapsed,
    CartridgeVoided,
    ActRefused,
    PracticeActed,
    SpeedSet,
)
TWO = HEAD + person("P-001", bands=FAINT) + person("P-002", bands=CLEAR)


@pytest.fixture(autouse=True)
def own_folders(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """Nothing of these bays may land in the folders of whoever runs the tests."""
    for name in ("STATE", "CACHE", "CONFIG", "DATA"):
        monkeypatch.setenv(f"XDG_{name}_HOME", str(tmp_path / name))


def story(events: list[Event]) -> list[tuple[Any, ...]]:
    """Return what was done and what came of it, with each instant, and no opaque id."""
    labels = {each.cartridge: each.label for each in events if isinstance(each, CartridgeLabelled)}
    found: list[tuple[Any, ...]] = []
    for each in events:
        if isinstance(each, AlertRaised):
            found.append(("alert", each.due, each.alert, labels[each.cartridge]))
        if isinstance(each, TOLD):
            parts = ("done", "step", "outcome", "bands", "code", "elapsed", "deviations", "speed")
            said = tuple(getattr(each, part, None) for part in parts)
            label = labels.get(getattr(each, "cartridge", "") or "")
            at = None if isinstance(each, PracticeActed) else each.at
            line = each.line.value or "" if isinstance(each, PracticeActed) else ""
            for opaque, name in labels.items():
                line = line.replace(opaque, name)
            found.append((type(each).__name__, at, label, line, *said))
    return sorted(found, key=repr)


def again(sitting: Sitting, journal: Path) -> list[Event]:
    """Play what was done by itself, and return what stands in the journal of that."""
    practised = sitting.journal
    script, nothing = sitting.script, lambda *_: None
    asyncio.run(rehearse(script, journal, None, nothing, nothing, practised=practised))
    return events_in(journal)


def whole_visit() -> Iterator[tuple[int, tuple[Given, ...]]]:
    """Yield one person's visit with two mistakes: too soon out of the buffer, and a wrong reading."""
    yield 0, (Scanned("L-100"), Pressed(Key.START), Scanned("P-001"), Pressed(Key.START))
    yield 10, (Scanned("C01"), Scanned("C01"), Pressed(Key.DONE))
    yield 40, (Scanned("C01"), Pressed(Key.DONE))
    yield 80, (Scanned("C01"), Pressed(Key.SECOND), Pressed(Key.DONE, "1"))
    yield 100, (Scanned("C01"), Pressed(Key.DONE))
    yield 1_100, (Scanned("C01"), Pressed(Key.UP), Pressed(Key.DOWN), Scanned("P-002"))
    yield 1_110, (Pressed(Key.UP), Pressed(Key.DOWN), Scanned("P-001"), Pressed(Key.READ))


def test_a_session_played_again_comes_to_the_same(tmp_path: Path) -> None:
    """Every act at its instant, every refusal, every outcome; and the journal is whole."""
    file = tmp_path / "day.toml"
    file.write_text(TWO, "utf-8")
    sitting = Sitting(file, tmp_path / "first.journal", trainee="Quillfeather")
    sitting.give(Steered(Steer.SPEED))
    for seconds, given_then in whole_visit():
        sitting.at(seconds * SECOND, *given_then)
    sitting.leave()

    first, second = events_in(sitting.journal), again(sitting, tmp_path / "second.journal")

    assert story(first) == story(second)
    assert {"ActRefused", "CartridgeRead"} <= {each[0] for each in story(first)}
    begun = [
        next(each for each in events if isinstance(each, PracticeBegun))
        for events in (first, second)
    ]
    assert begun[0].scenario == begun[1].scenario
    assert {each.trainee.value for each in begun if each.trainee} == {"Quillfeather"}
    founded = replay(second).founded
    assert founded is not None
    assert founded.mode is Mode.REHEARSAL


GIVEN = st.sampled_from(
    [
        *(Scanned(text) for text in ("L-100", "P-001", "P-002", "C01", "C02", "op-1", "X-9")),
        *(Pressed(key) for key in Key if key not in (Key.LEAVE, Key.HELP)),
        Pressed(Key.DONE, "2"),
        Steered(Steer.ANSWER, "L-100"),
    ]
)


@given(
    steps=st.lists(
        st.tuples(st.sampled_from([0, 1, 700, 30_000, 61_000, 240_000]), GIVEN), max_size=40
    )
)
@settings(
    max_examples=10, deadline=None, suppress_health_check=[HealthCheck.function_scoped_fixture]
)
def test_whatever_was_given_it_comes_to_the_same(steps: list[tuple[int, Given]]) -> None:
    """Nobody chooses their mistakes."""
    with tempfile.TemporaryDirectory() as folder:
        file = Path(folder) / "day.toml"
        file.write_text(TWO, "utf-8")
        sitting = Sitting(file, Path(folder) / "first.journal")
        sitting.give(Steered(Steer.SPEED), *next(whole_visit())[1])
        passed = sitting.clock.passed
        for further, each in steps:
            passed = max(passed, sitting.clock.passed) + further
            sitting.at(passed, each)
        sitting.leave()

        first = events_in(sitting.journal)
        second = again(sitting, Path(folder) / "second.journal")

        assert story(first) == story(second)


def test_a_journal_of_another_scenario_is_refused(tmp_path: Path) -> None:
    """The same acts before other strips would be another story."""
    file = tmp_path / "day.toml"
    file.write_text(TWO, "utf-8")
    sitting = Sitting(file, tmp_path / "first.journal")
    sitting.leave()
    file.write_text(TWO.replace('"clear"', '"faint"'), "utf-8")
    other = Sitting(file, tmp_path / "other.journal")
    other.leave()
    other.journal = sitting.journal

    with pytest.raises(JournalError, match="of another scenario"):
        again(other, tmp_path / "second.journal")
    assert not (tmp_path / "second.journal").exists()


def test_a_journal_that_nobody_practised_in_is_refused(tmp_path: Path) -> None:
    """A script that played by itself can be played again without it."""
    file = tmp_path / "day.toml"
    file.write_text(TWO, "utf-8")
    sitting = Sitting(file, tmp_path / "first.journal")
    sitting.leave()
    nothing = lambda *_: None  # noqa: E731
    alone = tmp_path / "alone.journal"
    asyncio.run(rehearse(sitting.script, alone, None, nothing, nothing))
    sitting.journal = alone

    with pytest.raises(JournalError, match="no rehearsal with a person at the keys"):
        again(sitting, tmp_path / "second.journal")
