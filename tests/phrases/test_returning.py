"""What is told first when a bay is taken up again: the worst before the rest."""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING

import pytest

from builders import NEGATIVE, Bench, at, span
from readbell.core.board.board import Board
from readbell.core.cartridge.events import AlertKind, AlertRaised
from readbell.phrases.returning import welcome

if TYPE_CHECKING:
    from phrases.conftest import Properly


def fallen(kind: AlertKind, label: str) -> AlertRaised:
    """An alert that fell while nobody watched."""
    return AlertRaised(
        at=at("20:00"), cartridge=f"id-{label}", alert=kind, due=at("15:00"), step=""
    )


def told(
    *fell: AlertRaised,
    board: Board | None = None,
    is_new: bool = False,
    clean: bool = True,
    away: str = "4:10",
    unsure: tuple[str, ...] = (),
    new_station: str = "",
) -> list[str]:
    """What is told, of a bench with C1 and C2 running unless another is given."""
    if board is None:
        bench = Bench()
        bench.label("C1")
        bench.label("C2", "P-002")
        board = bench.board
    return list(
        welcome(
            board=board,
            is_new=is_new,
            clean=clean,
            away=span(away),
            fell_due=fell,
            unsure=unsure,
            new_station=new_station,
        )
    )


def test_a_return_says_how_long_and_how_many() -> None:
    """One line is enough if nothing happened."""
    assert told() == ["Back after 4:10. 2 running."]


def test_a_station_that_has_just_joined_is_not_back_from_anywhere() -> None:
    """It says that it is new, and what runs already."""
    assert told(away="0:00", new_station="bench") == ["Station bench is new here. 2 running."]


def test_an_unclean_end_is_said_and_that_nothing_is_lost() -> None:
    """People must know both."""
    assert told(clean=False) == [
        (
            "Back after 4:10. 2 running. The last run did not end cleanly; "
            "nothing acknowledged is lost."
        )
    ]


def test_time_away_is_rounded_down() -> None:
    """No second is claimed that has not passed."""
    assert told(away="4:10.999")[0].startswith("Back after 4:10.")


def test_a_reading_that_might_have_been_corrected_stays_and_that_is_said() -> None:
    """Nobody looks for the key afterwards, and nobody takes the reading for undone."""
    bench = Bench()
    bench.to_well()
    bench.must(bench.read_act(NEGATIVE), "18:00")

    assert told(board=bench.board, unsure=("id-C1",))[-1] == (
        "The wall clock cannot be trusted since this restart, so nobody knows how long it took. "
        "The reading of C1 stays as it was entered."
    )


def test_a_new_bay_is_told_what_to_do_first() -> None:
    """Nobody should face an empty screen without a next step."""
    bench = Bench()
    empty = replace(bench.board, operators={}, assays={}, lots={})
    assert told(board=empty, is_new=True) == [
        (
            "Harrow Quay: a new journal, times in UTC. Register an operator, adopt an assay and "
            "receive a lot to begin."
        )
    ]


def test_whoever_answered_the_first_questions_is_not_told_to_do_it_again() -> None:
    """A second operator of the same ID, a second box of the same lot: both would be refused."""
    assert told(board=Bench().board, is_new=True) == ["Harrow Quay: a new journal, times in UTC."]
    assert told(board=replace(Bench().board, founded=None), is_new=True) == []


def test_a_new_bay_without_a_founding_is_told_the_rest() -> None:
    """The words hold even before the first event."""
    assert told(board=Board(), is_new=True) == [
        "Register an operator, adopt an assay and receive a lot to begin."
    ]


@pytest.mark.parametrize(
    ("kind", "words"),
    [
        (AlertKind.LAPSED, "Lapsed meanwhile: C1."),
        (AlertKind.CLOSING, "Closing now: C1."),
        (AlertKind.READ_NOW, "To be read now: C1."),
        (AlertKind.OVERDUE, "Overdue: C1."),
        (AlertKind.WAIT_OVER, "Wait over: C1."),
    ],
)
def test_each_kind_that_asks_for_a_hand_has_its_line(kind: AlertKind, words: str) -> None:
    """What fell due while nobody watched is named cartridge by cartridge."""
    assert told(fallen(kind, "C1"))[1:] == [words]


def test_the_gravest_comes_first() -> None:
    """Whoever reads one line only reads the one that matters."""
    lines = told(fallen(AlertKind.WAIT_OVER, "C1"), fallen(AlertKind.LAPSED, "C2"))

    assert lines[1:] == ["Lapsed meanwhile: C2.", "Wait over: C1."]


def test_a_cartridge_is_named_under_its_gravest_word_only() -> None:
    """ "Read it now" of a strip that has lapsed would send somebody the wrong way."""
    lines = told(
        fallen(AlertKind.READ_NOW, "C1"),
        fallen(AlertKind.CLOSING, "C1"),
        fallen(AlertKind.LAPSED, "C1"),
    )

    assert lines[1:] == ["Lapsed meanwhile: C1."]


def test_of_many_the_count_and_the_first_three_are_told() -> None:
    """Three hundred labels in a row are read by nobody."""
    bench = Bench(units=None)
    for number in range(1, 13):
        bench.label(f"C{number}")
    ids = [f"C{number}" for number in range(1, 13)]
    lines = told(*(fallen(AlertKind.LAPSED, each) for each in ids), board=bench.board)

    assert lines[1:] == ["Lapsed meanwhile, 12: C1, C2, C3 and 9 more."]
    unsure = told(board=bench.board, unsure=tuple(f"id-{each}" for each in ids))
    assert "The wait of C1, C2, C3 and 9 more counts as too long." in unsure[-1]


def test_waits_of_unknown_length_are_told() -> None:
    """A swab that may have stood for hours must not be taken for one that stood a minute."""
    assert told(unsure=("id-C1",))[1:] == [
        (
            "The wall clock cannot be trusted since this restart, so nobody knows how long it "
            "took. The wait of C1 counts as too long."
        )
    ]


def test_every_line_is_a_proper_sentence(properly: Properly) -> None:
    """It is the first thing anybody reads."""
    lines = told(
        *(fallen(kind, "C1") for kind in AlertKind), clean=False, unsure=("id-C1", "id-C2")
    )

    assert all(properly(line) for line in lines)
