"""Whether the record was checked, in words that stand on a board and in a line."""

from __future__ import annotations

import pytest

from readbell.core.board.record_check import UNCHECKED, RecordCheck, RecordState
from readbell.phrases.record_words import in_the_header, in_the_notice, tell_record

CHECKING = RecordCheck(state=RecordState.CHECKING, percent=43)
WHOLE = RecordCheck(state=RecordState.WHOLE, event=1_000)
BROKEN = RecordCheck(
    state=RecordState.BROKEN, event=7, why="event 7: it was changed: restore a backup"
)
FILE_BROKEN = RecordCheck(state=RecordState.BROKEN, why="the file is damaged (x): restore a backup")
NOT_CHECKED = RecordCheck(state=RecordState.NOT_CHECKED, why="it ended before its time")


def test_while_it_is_checked_the_header_says_how_far() -> None:
    """In long words, or in short ones where there is no room."""
    assert in_the_header(CHECKING) == ("records being checked: 43 %", "checked 43 %")


@pytest.mark.parametrize("check", [WHOLE, NOT_CHECKED])
def test_when_it_is_settled_the_header_says_so(check: RecordCheck) -> None:
    """Nobody is to guess from a percentage that went away."""
    assert in_the_header(check)[0].startswith("records ")


@pytest.mark.parametrize("check", [BROKEN, UNCHECKED])
def test_what_is_told_louder_or_not_at_all_is_not_in_the_header(check: RecordCheck) -> None:
    """What is broken fills a line of its own."""
    assert in_the_header(check) == ()


@pytest.mark.parametrize("check", [CHECKING, WHOLE, NOT_CHECKED, UNCHECKED])
def test_nothing_is_loud_that_is_not_broken(check: RecordCheck) -> None:
    """A bay that is well is calm."""
    assert in_the_notice(check) is None


def test_what_is_broken_is_told_with_its_place_and_what_to_do() -> None:
    """In fewer words as the screen gets narrower, and never in a colour alone."""
    said = in_the_notice(BROKEN)

    assert said is not None
    assert said[0].startswith("RECORD BROKEN at event 7. Start nobody;")
    assert said[2] == "RECORD BROKEN"
    assert list(map(len, said)) == sorted(map(len, said), reverse=True)


@pytest.mark.parametrize(
    ("check", "words"),
    [
        (CHECKING, "43 %"),
        (WHOLE, "whole, 1000 events."),
        (NOT_CHECKED, "'readbell verify'"),
        (BROKEN, "RECORD BROKEN at event 7: it was changed: restore a backup. Start nobody"),
        (FILE_BROKEN, "RECORD BROKEN in its file: the file is damaged"),
    ],
)
def test_each_state_is_told_in_one_line(check: RecordCheck, words: str) -> None:
    """A log and a screen reader get no colour and no place on a screen."""
    told = tell_record(check)

    assert told is not None
    assert words in told


def test_where_nobody_checks_nothing_is_told() -> None:
    """A rehearsal has nothing to lose."""
    assert tell_record(UNCHECKED) is None
