"""What a station of a shared bay says of itself and of the others, in lines."""

from __future__ import annotations

from dataclasses import replace

import pytest

from builders import START, Bench
from cli.line_mode_bench import RETURN, alert, news, words
from readbell.bay.around import AloneNow, Around, Pulse
from readbell.bay.news import Answer
from readbell.cli.line_mode import LineMode
from readbell.core.board.fold import fold
from readbell.core.instant import Span
from readbell.core.refusal import Elsewhere, Refusal, RefusalCode
from readbell.core.stations.events import StationJoined
from readbell.scenarios.line import read_line


@pytest.fixture
def bench() -> Bench:
    """A bench on which C1 is labelled."""
    found = Bench()
    found.label()
    return found


HERE, WINDOW = Pulse(station="bench", mark="B"), Pulse(station="window", mark="A")
LINKED_BOTH = Around(station="bench", mark="B", seen=(HERE, WINDOW))
WINDOW_AWAY = Around(station="bench", mark="B", seen=(HERE,), away=frozenset({"window"}))
ON_ITS_OWN = Around(
    station="bench",
    mark="B",
    alone=AloneNow(since=START, why="the link to the server is lost"),
    seen=(HERE,),
    away=frozenset({"window"}),
)


def test_whoever_looks_on_is_told_that_a_station_is_alone_no_more(bench: Bench) -> None:
    """Of a station that is linked an onlooker knows nothing else."""
    voice = LineMode()
    told = [words(voice, news(bench, around=each)) for each in (None, ON_ITS_OWN, None, None)]

    assert told[0] == told[3] == []
    assert "ALONE: the link to the server is lost." in told[1][0]
    assert told[2] == ["01:00:00  The link is back: this station is alone no more."]


def test_a_mirror_that_takes_nothing_is_told_once_and_once_that_it_does_again(
    bench: Bench,
) -> None:
    """The record is on the server, and the memory here grows: somebody has to make room."""
    voice, ill = LineMode(), replace(LINKED_BOTH, mirror_ailment="database or disk is full")
    told = [words(voice, news(bench, around=each)) for each in (LINKED_BOTH, ill, ill, LINKED_BOTH)]

    assert told[0] == told[2] == []
    assert "cannot be written: database or disk is full. The record itself is whole" in told[1][0]
    assert told[3] == [
        "01:00:00  The mirror of the record here is written again, and lacks nothing."
    ]
    assert any(
        "database or disk is full" in each.words for each in voice.stations(news(bench, around=ill))
    )


def test_a_station_tells_once_that_it_is_alone_and_once_that_it_is_no_more(bench: Bench) -> None:
    """And of the others nothing meanwhile: it cannot know."""
    voice = LineMode()
    told = [
        words(voice, news(bench, around=each))
        for each in (LINKED_BOTH, ON_ITS_OWN, ON_ITS_OWN, LINKED_BOTH, LINKED_BOTH)
    ]

    assert told == [
        [],
        [
            (
                "01:00:00  ALONE: the link to the server is lost. Go on with what this station "
                "holds; the rest waits for the link. Labels begin with B-. Countdowns and alarms "
                "go on."
            )
        ],
        [],
        ["01:00:00  The link is back: this station is alone no more."],
        [],
    ]


def test_why_the_link_stays_lost_is_told_once_and_again_if_it_is_another_reason(
    bench: Bench,
) -> None:
    """Somebody has to see to it, and hears it where the board is not seen."""
    assert ON_ITS_OWN.alone is not None
    first, second = (
        replace(ON_ITS_OWN, alone=replace(ON_ITS_OWN.alone, refused=why))
        for why in ("the server does not take this password", "there is no such user")
    )
    voice = LineMode()
    told = [
        words(voice, news(bench, around=each))
        for each in (LINKED_BOTH, ON_ITS_OWN, first, first, second, ON_ITS_OWN, LINKED_BOTH)
    ]

    assert [len(each) for each in told] == [0, 1, 1, 0, 1, 0, 1]
    assert "does not come back by itself: the server does not take this password." in told[2][0]
    assert "no such user" in told[4][0]
    asked = [each.words for each in voice.stations(news(bench, around=first))]
    assert "does not come back by itself: the server does not take this password." in asked[0]


def test_a_second_computer_of_this_name_is_told_once_with_what_to_do(bench: Bench) -> None:
    """And the second one says why it is alone, and promises no labels."""
    twins = replace(LINKED_BOTH, has_twin=True)
    voice = LineMode()
    told = [words(voice, news(bench, around=each)) for each in (LINKED_BOTH, twins, twins)]

    assert told == [
        [],
        [
            (
                "01:00:00  ANOTHER COMPUTER IS STATION bench TOO. It records nothing here. "
                "End readbell there, and join that computer under a name of its own with "
                "'readbell join'."
            )
        ],
        [],
    ]
    asked = [each.words for each in voice.stations(news(bench, around=twins))]
    assert "End readbell there" in asked[0]
    second = replace(ON_ITS_OWN, has_twin=True, began=frozenset())
    (line,) = words(LineMode(), news(bench, around=second))
    assert line.startswith("01:00:00  ALONE")
    assert "abel" not in line


def test_a_clock_that_is_far_off_is_told_once_and_once_that_it_is_right(bench: Bench) -> None:
    """Times of day elsewhere are not those on this wall."""
    hour = Span(3_600_000)
    off = [replace(LINKED_BOTH, wall_apart=Span(each)) for each in (hour, hour + 400, -1_000)]
    voice = LineMode()
    told = [words(voice, news(bench, around=each)) for each in (LINKED_BOTH, *off, off[2])]

    assert told == [
        [],
        [
            (
                "01:00:00  The clock of this computer is 1:00:00 ahead of the server's. Countdowns go "
                "by the server's, and the record bears its time of day. Set whichever is wrong."
            )
        ],
        [],
        ["01:00:00  The clock of this computer is near the server's again."],
        [],
    ]
    behind = replace(LINKED_BOTH, wall_apart=Span(-hour))
    (said,) = LineMode().around(news(bench, around=behind))
    assert "1:00:00 behind the server's" in said.words
    assert (said.fields["news"], said.fields["apart_ms"]) == ("clock", -hour)


def test_a_station_that_falls_silent_or_comes_is_told(bench: Bench) -> None:
    """Somebody may have to look after its strips."""
    voice = LineMode()
    told = [
        words(voice, news(bench, around=each)) for each in (LINKED_BOTH, WINDOW_AWAY, LINKED_BOTH)
    ]

    assert told[1:] == [
        [
            (
                "01:00:00  Station window is AWAY: nothing is heard of it. "
                "What rang there rings here too."
            )
        ],
        ["01:00:00  Station window is here."],
    ]


def test_who_is_here_is_told_when_it_is_asked(bench: Bench) -> None:
    """For a program each line bears its kind."""
    joined = StationJoined(at=START, station="bench", mark="B")
    bench.board = fold(bench.board, joined)
    (line,) = LineMode().stations(news(bench, around=LINKED_BOTH))

    assert line.words == (
        "01:00:00      Station bench, mark B: this one. Hears waits and windows. Holds none."
    )
    assert line.fields["news"] == "stations"
    (line,) = LineMode().stations(news(bench))
    assert "This bay has no server" in line.words


def test_a_station_that_has_just_joined_is_told_to_be_new(bench: Bench) -> None:
    """It is back from nowhere."""
    found = replace(RETURN, new_station="bench")
    first = next(iter(LineMode().welcome(found, news(bench))))

    assert first.words == "01:00:00  Station bench is new here. 1 running."


def test_what_was_done_at_another_station_is_told_here(bench: Bench) -> None:
    """Whoever works in lines follows the others as a board does; what is theirs alone is left out."""
    (labelled,) = bench.must(bench.label_act("C2", "P-002"))
    joined = StationJoined(at=START, station="bench", mark="B")
    told = replace(news(bench, labelled, joined, alert()), is_elsewhere=True)

    found = list(LineMode().news(told))

    assert [each.words for each in found] == [
        "01:00:00  elsewhere  C2  labelled for P-002 from lot L-100.",
        "01:00:00  C1  !  READ NOW.",
    ]
    assert found[0].fields["elsewhere"] is True
    assert found[0].fields["says"] == "C2  labelled for P-002 from lot L-100."
    assert "elsewhere" not in found[1].fields


def test_whoever_was_second_hears_who_was_first(bench: Bench) -> None:
    """A program gets it by name, and people in the sentence."""
    first = Elsewhere(station="bench", kind="cartridge-voided", by="op-2", at=START)
    refusal = Refusal(code=RefusalCode.ALREADY_ENDED, subject="C1", elsewhere=first)
    line = read_line('{"do": "void", "by": "op-1", "cartridge": "C1", "reason": "dropped"}')
    answer = Answer(at=START, refusal=refusal, events=(), board=bench.board)

    said = LineMode().answer(line, answer, news(bench))

    assert said.fields["elsewhere"] == {
        "station": "bench",
        "by": "op-2",
        "did": "cartridge-voided",
        "at": "2026-03-29T01:00:00+00:00",
    }
    assert said.words.startswith(
        "01:00:00  no  C1 was given up by op-2 at station bench at 01:00:00. "
    )
