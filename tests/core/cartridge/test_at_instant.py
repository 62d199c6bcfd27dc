"""The stage at an instant: what the record says, and what time alone has made of it."""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from builders import FAINT, NASAL, NEGATIVE, Bench, at
from readbell.core.cartridge.at_instant import stage_at, window
from readbell.core.cartridge.moment import Done
from readbell.core.cartridge.stage import Stage
from readbell.core.instant import Instant

if TYPE_CHECKING:
    from readbell.core.cartridge.cartridge import Cartridge

ON_THE_WELL = Bench().to_well(applied="2:00")
"""Applied at 2:00, so that its window is from 17:00 to 22:00."""

OPEN_ENDED = replace(ON_THE_WELL, assay=replace(NASAL, reading=replace(NASAL.reading, closes=None)))


@pytest.mark.parametrize(
    ("now", "stage"),
    [
        pytest.param("2:00", Stage.DEVELOPING, id="at the drops"),
        pytest.param("16:59.999", Stage.DEVELOPING, id="just before it opens"),
        pytest.param("17:00", Stage.READ_WINDOW, id="as it opens"),
        pytest.param("19:59.999", Stage.READ_WINDOW, id="just before the warning"),
        pytest.param("20:00", Stage.CLOSING, id="as the warning begins"),
        pytest.param("22:00", Stage.CLOSING, id="the last instant that counts"),
        pytest.param("22:00.001", Stage.LAPSED, id="the first millisecond after"),
    ],
)
def test_borders_of_the_window_belong_to_it(now: str, stage: Stage) -> None:
    """Both borders count as inside; one millisecond beyond does not."""
    assert stage_at(ON_THE_WELL, at(now)) is stage


@pytest.mark.parametrize(
    ("now", "stage"),
    [
        pytest.param("16:59.999", Stage.DEVELOPING, id="before"),
        pytest.param("17:00", Stage.READ_WINDOW, id="as it opens"),
        pytest.param("600:00", Stage.READ_WINDOW, id="hours later"),
    ],
)
def test_a_window_without_a_stated_limit_stays_open(now: str, stage: Stage) -> None:
    """It neither closes nor warns, since the kit names no instant to warn of."""
    assert stage_at(OPEN_ENDED, at(now)) is stage


@pytest.mark.parametrize(
    ("now", "stage"),
    [
        pytest.param("16:59.999", Stage.DEVELOPING, id="before it opens"),
        pytest.param("17:00", Stage.DEVELOPING, id="when it would open"),
        pytest.param("22:00", Stage.DEVELOPING, id="when it would close"),
        pytest.param("22:00.001", Stage.LAPSED, id="when it may have closed"),
    ],
)
def test_an_unsure_clock_shows_no_open_window(now: str, stage: Stage) -> None:
    """A window that may have closed counts as closed, and one that may not be open as shut."""
    assert stage_at(replace(ON_THE_WELL, unsure=True), at(now)) is stage


def test_a_window_with_nothing_left_is_closed_after_its_close() -> None:
    """Doubt may close it before it opens; it must not seem to be still developing then."""
    doubt = Done(said=at("5:00"), earliest=at("2:00"), latest=at("8:00"), stated=True)
    mark = replace(ON_THE_WELL.last_mark, done=doubt)
    empty = replace(ON_THE_WELL, marks=(*ON_THE_WELL.marks[:-1], mark))

    assert stage_at(empty, at("22:00")) is Stage.DEVELOPING
    assert stage_at(empty, at("22:00.001")) is Stage.LAPSED


def cartridge_in(stage: Stage) -> Cartridge:
    """The cartridge C1 as the record leaves it in `stage`."""
    bench = Bench()
    if stage in {Stage.READ, Stage.DEVELOPING}:
        bench.to_well(applied="2:00")
        if stage is Stage.READ:
            bench.must(bench.read_act(NEGATIVE), "17:00")
        return bench.cartridge()
    bench.label()
    if stage is Stage.VOID:
        bench.must(bench.void_act())
    elif stage is not Stage.LABELLED:
        for step in ("buffer", "collect", "extract")[: 1 if stage is Stage.PREPARING else 3]:
            bench.step(step, "0:00")
    return bench.cartridge()


@pytest.mark.parametrize(
    "stage", [Stage.LABELLED, Stage.PREPARING, Stage.EXTRACTING, Stage.READ, Stage.VOID]
)
def test_time_alone_moves_only_what_develops(stage: Stage) -> None:
    """Before the drops nothing runs out by itself, and an end stays an end for ever."""
    found = cartridge_in(stage)

    assert {stage_at(found, at(now)) for now in ("0:00", "17:00", "22:00.001", "900:00")} == {stage}


def test_no_window_runs_before_the_specimen_is_on_the_well() -> None:
    """Time zero of the read window is the last step, not the label."""
    assert window(cartridge_in(Stage.EXTRACTING)) is None
    assert window(ON_THE_WELL) is not None


@settings(deadline=None, max_examples=100)
@given(times=st.lists(st.integers(0, 30 * 60_000), min_size=2), unsure=st.booleans())
def test_stages_only_move_forward(times: list[int], unsure: bool) -> None:
    """However often a screen asks, no later instant is in an earlier stage."""
    order = list(Stage)
    subject = replace(ON_THE_WELL, unsure=unsure)
    seen = [
        order.index(stage_at(subject, Instant(at("0:00") + moment))) for moment in sorted(times)
    ]

    assert seen == sorted(seen)


def test_an_early_positive_changes_no_stage() -> None:
    """The window reading is still asked for, so the cartridge goes on developing."""
    bench = Bench()
    bench.to_well(applied="2:00")
    bench.must(bench.look_act(FAINT), "4:00")

    assert stage_at(bench.cartridge(), at("4:00")) is Stage.DEVELOPING
    assert stage_at(bench.cartridge(), at("17:00")) is Stage.READ_WINDOW
