"""What stands in the large digits of a station that is alone: what it holds goes before all else."""

from __future__ import annotations

import pytest

from builders import NEGATIVE, at
from core.board.stations_bench import BENCH, WINDOW, SharedBay
from readbell.core.board.stations import Here
from readbell.ui.call import call, left_out
from readbell.ui.called import called
from readbell.ui.glyphs import UNICODE
from readbell.ui.measures import measures
from ui.busy_board import FACE

ALONE = Here(station=WINDOW, is_alone=True, away=frozenset({BENCH}))
LINKED = Here(station=WINDOW)
AWAY = Here(station=WINDOW, away=frozenset({BENCH}))
SIZES = [(200, 60), (120, 40), (80, 24), (60, 20), (40, 12)]


def two_benches() -> SharedBay:
    """C1 is held here and opens at 17:40; C2 is held at the other bench and opens ten seconds sooner."""
    bay = SharedBay()
    for label, person, applied, station in (
        ("C1", "P-001", "2:40", WINDOW),
        ("C2", "P-002", "2:30", BENCH),
    ):
        bay.to_well(label, person, applied=applied)
        bay.hold(label, station)
    return bay


def large(bay: SharedBay, now: str, here: Here | None) -> str:
    """The label of what stands in the large digits."""
    top = called(bay.board, at(now), here).top
    return "" if top is None else top.cartridge.label


def shown(bay: SharedBay, now: str, here: Here | None, size: tuple[int, int] = (120, 40)) -> str:
    """The call as it is painted."""
    lines = call(bay.board, at(now), measures(*size), UNICODE, face=FACE, here=here)
    return "\n".join(each.text for each in lines)


@pytest.mark.parametrize("now", ["10:00", "17:35", "18:00", "21:00", "22:15"])
def test_alone_what_is_held_here_is_called_before_what_falls_due_sooner_elsewhere(now: str) -> None:
    """Nobody here can read a strip at another bench, and one that lies here is lost meanwhile."""
    assert large(two_benches(), now, ALONE) == "C1"


@pytest.mark.parametrize("here", [None, LINKED, AWAY])
@pytest.mark.parametrize("now", ["10:00", "17:35", "18:00", "21:00", "22:15"])
def test_while_it_is_linked_the_most_urgent_is_called_wherever_it_stands(
    here: Here | None, now: str
) -> None:
    """Whoever is nearest goes to it."""
    bay = two_benches()
    assert large(bay, now, here) == "C2"
    assert shown(bay, now, here) == shown(bay, now, None)


@pytest.mark.parametrize("size", SIZES)
def test_what_calls_elsewhere_is_counted_beside_what_is_held_here(size: tuple[int, int]) -> None:
    """It rings here as well, so what rings has to be in sight."""
    bay = two_benches()
    for now in ("17:35", "18:00"):
        assert "1 elsewhere" in shown(bay, now, ALONE, size)
        assert "elsewhere" not in shown(bay, now, LINKED, size)
    assert "elsewhere" not in shown(bay, "10:00", ALONE, size)


@pytest.mark.parametrize("size", SIZES)
def test_where_nothing_is_held_here_the_others_come_and_are_said_to_be_elsewhere(
    size: tuple[int, int],
) -> None:
    """With the sign that their rows bear, and not as something to be read here."""
    bay = two_benches()
    bay.must(bay.read_act(NEGATIVE, "C1"), "18:00")
    said = shown(bay, "18:01", ALONE, size)
    assert large(bay, "18:01", ALONE) == "C2"
    assert "@B P-002" in said
    assert "Read P-002" not in said
    assert "@B" not in shown(bay, "18:01", LINKED, size)


def test_where_there_is_room_the_station_is_named() -> None:
    """Somebody may want to call them up."""
    bay = two_benches()
    bay.must(bay.read_act(NEGATIVE, "C1"), "18:00")
    assert "at station bench" in shown(bay, "18:01", ALONE)


def test_what_nobody_holds_is_nobodys_to_go_on_with_alone() -> None:
    """A station that was given up held it, or it ran before the bay was shared."""
    bay = SharedBay()
    bay.to_well("C1")
    found = called(bay.board, at("18:00"), ALONE)
    assert (found.mark, found.held_at) == ("@?", "at no station")


def test_of_two_computers_that_are_one_station_the_second_calls_what_it_began_itself() -> None:
    """What the first one began lies at the other computer."""
    bay = two_benches()
    bay.hold("C2", WINDOW)
    began = frozenset({bay.cartridge("C1").id})
    second = Here(station=WINDOW, is_alone=True, began=began)
    assert large(bay, "18:00", second) == "C1"
    assert large(bay, "18:00", ALONE) == "C2"


def test_a_step_that_nobody_here_can_do_is_not_said_again_in_whole_words() -> None:
    """It is left out of the line beneath, which says what the hands do now."""
    bay = SharedBay()
    bay.label("C1", now="0:00")
    for step in ("buffer", "collect", "extract"):
        bay.step(step, "0:00", "C1")
    bay.hold("C1", BENCH)
    small = measures(80, 24)
    assert left_out(bay.board, at("1:05"), small, LINKED)
    assert not left_out(bay.board, at("1:05"), small, ALONE)
