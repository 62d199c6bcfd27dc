"""Which keys do nothing as things stand: an arrow that leads nowhere takes the room of one that does."""

from __future__ import annotations

from datetime import UTC

import pytest

from builders import Bench, at
from readbell.hand.doing import Filling, Paper, Stepping
from readbell.hand.given import Key
from readbell.hand.idle_keys import idle_keys
from readbell.hand.scene import Scene
from readbell.phrases.clock_time import ClockFace


def scene(bench: Bench) -> Scene:
    """Return what the hand sees."""
    return Scene(board=bench.board, now=at("2:00"), face=ClockFace(zone=UTC))


@pytest.mark.parametrize(
    ("until", "idle"),
    [("buffer", {Key.UP}), ("collect", set()), ("extract", {Key.DOWN})],
)
def test_of_several_steps_the_arrows_are_offered_that_lead_to_another(
    until: str, idle: set[Key]
) -> None:
    """Up to the first of them nothing is less far, and nothing is further than the last."""
    bench = Bench()
    cartridge = bench.label()

    assert idle_keys(Stepping(cartridge=cartridge.id, until=until), scene(bench)) == idle


def test_of_one_step_no_arrow_is_offered() -> None:
    """Squeezing the swab out is one act by itself."""
    bench = Bench()
    cartridge = bench.label()
    for step, now in (("buffer", "0:10"), ("collect", "0:20"), ("extract", "0:30")):
        bench.step(step, now)
    doing = Stepping(cartridge=cartridge.id, until="withdraw")

    assert idle_keys(doing, scene(bench)) == {Key.UP, Key.DOWN}
    assert idle_keys(Stepping(cartridge="gone", until="buffer"), scene(bench)) == {
        Key.UP,
        Key.DOWN,
    }


@pytest.mark.parametrize(("cursor", "idle"), [(0, {Key.DOWN}), (1, set()), (99, {Key.DOWN})])
def test_on_a_form_the_arrow_that_chooses_is_offered_where_there_is_a_choice(
    cursor: int, idle: set[Key]
) -> None:
    """The lot is typed, the assay chosen; whoever does not know how is stopped at the first box."""
    assert idle_keys(Filling(paper=Paper.LOT, cursor=cursor), scene(Bench())) == idle
