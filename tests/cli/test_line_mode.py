"""What a bay says line by line: the words, the same for a program, and nothing twice."""

from __future__ import annotations

import json
from dataclasses import replace
from pathlib import Path
from typing import Any

import pytest

from builders import START, Bench, at, span
from cli.line_mode_bench import FULL, RETURN, alert, news, words
from readbell.bay.news import Answer, News
from readbell.cli.line_mode import LineMode
from readbell.core.board.board import Board
from readbell.core.board.events import ComputerSlept
from readbell.core.board.record_check import RecordCheck, RecordState
from readbell.core.instant import Span, later
from readbell.core.refusal import Refusal, RefusalCode
from readbell.journal.keeper import Branch
from readbell.scenarios.line import read_line


@pytest.fixture
def bench() -> Bench:
    """A bench on which C1 is labelled."""
    found = Bench()
    found.label()
    return found


def test_what_nobody_asked_for_is_told_as_news(bench: Bench) -> None:
    """Alarms, sleep and clock troubles come by themselves."""
    slept = ComputerSlept(at=START, span=span("3:00"), cartridges=("id-C1",))

    assert words(LineMode(), news(bench, alert(), slept)) == [
        "01:00:00  C1  !  READ NOW.",
        "01:00:00  This computer slept 3:00 and no alarm could ring. Look at C1.",
    ]


def test_what_was_asked_for_is_told_as_an_answer_alone(bench: Bench) -> None:
    """An act told twice might be taken for two."""
    (labelled,) = bench.must(bench.label_act("C2", "P-002"))

    assert words(LineMode(), news(bench, labelled)) == []


def test_the_banner_is_told_once_as_it_comes_and_once_as_it_goes(bench: Bench) -> None:
    """Each further act must not repeat it, or nobody reads on."""
    voice = LineMode()
    told = [words(voice, news(bench, not_saved=state)) for state in (None, FULL, FULL, None, None)]

    assert told == [
        [],
        [
            (
                "01:00:00  NOT SAVED: the disk is full; acts go to beside. "
                "Start nobody; finish what runs."
            )
        ],
        [],
        ["01:00:00  Saved again: the journal has all that was told."],
        [],
    ]


def test_the_banner_says_if_there_is_nowhere_to_write(bench: Bench) -> None:
    """Then paper is the record."""
    nowhere = replace(FULL, continuation=None)
    (line,) = words(LineMode(), news(bench, not_saved=nowhere))

    assert "nowhere to write to: keep results on paper" in line


def test_a_return_is_told_first_and_then_where_all_stand(bench: Bench) -> None:
    """What happened, then what is."""
    said = [each.words for each in LineMode().welcome(RETURN, news(bench))]

    assert said == [
        "01:00:00  Back after 4:10. 1 running.",
        "01:00:00      C1  P-001  labelled  next: Buffer into the tube",
    ]


def test_a_branch_is_told_with_its_file(bench: Bench) -> None:
    """Neither side is thrown away: a supervisor settles it."""
    branch = Branch(path=Path("beside"), why="it does not follow")
    found = replace(RETURN, branches=(branch,))
    said = [each.words for each in LineMode().welcome(found, news(bench))]

    assert said[1] == (
        "01:00:00  beside could not be joined: it does not follow. Keep it for a supervisor."
    )


def answered(bench: Bench, text: str, answer: Answer) -> tuple[str, dict[str, Any]]:
    """The words and the fields of an answer."""
    said = LineMode().answer(read_line(text), answer, news(bench))
    return said.words, said.fields


def test_an_act_that_was_taken_is_answered_ok(bench: Bench) -> None:
    """With what came of it."""
    events = bench.must(bench.step_act("buffer"))
    text = '{"do": "step", "by": "op-1", "cartridge": "C1", "step": "buffer"}'
    said, fields = answered(
        bench, text, Answer(at=START, refusal=None, events=events, board=bench.board)
    )

    assert said == "01:00:00  ok  C1  Buffer into the tube: done."
    assert (fields["answer"], fields["accepted"], fields["refusal"]) == ("step", True, None)
    assert fields["says"] == "C1  Buffer into the tube: done."


def test_an_act_that_was_refused_is_answered_no_with_its_code(bench: Bench) -> None:
    """People get the words, programs the code."""
    refusal = Refusal(code=RefusalCode.OUT_OF_ORDER, subject="Buffer into the tube")
    text = '{"do": "step", "by": "op-1", "cartridge": "C1", "step": "apply"}'
    said, fields = answered(
        bench, text, Answer(at=START, refusal=refusal, events=(), board=bench.board)
    )

    assert said == ("01:00:00  no  That is not the turn of C1. Next: Buffer into the tube.")
    assert (fields["accepted"], fields["refusal"]) == (False, "out-of-order")


def test_a_refused_registration_is_answered_too(bench: Bench) -> None:
    """No cartridge is concerned, and the sentence still reads."""
    refusal = Refusal(code=RefusalCode.ALREADY_KNOWN, subject="person")
    text = '{"do": "register-person", "by": "op-1", "id": "P-001"}'
    said, fields = answered(
        bench, text, Answer(at=START, refusal=refusal, events=(), board=bench.board)
    )

    assert said == "01:00:00  no  This person is registered already. Nothing changed."
    assert fields["answer"] == "register-person"


def test_a_line_that_could_not_be_understood_is_answered_no() -> None:
    """Nothing happened, so it has no instant."""
    said = LineMode().fault("this line: this is not JSON: write one object a line")

    assert said.as_text(as_json=False).startswith("no  this line: ")
    assert json.loads(said.as_text(as_json=True)) == {
        "answer": None,
        "accepted": False,
        "says": "this line: this is not JSON: write one object a line",
    }


def test_for_a_program_every_line_is_json_with_the_offset(bench: Bench) -> None:
    """An instant without its offset could be any hour."""
    (said,) = LineMode().news(news(bench, alert()))
    fields = json.loads(said.as_text(as_json=True))

    assert fields == {
        "at": "2026-03-29T01:00:00+00:00",
        "says": "C1  !  READ NOW.",
        "news": "alert-raised",
    }


def test_any_event_has_a_line_for_whoever_looks_on(bench: Bench) -> None:
    """An onlooker has asked for nothing, so everything is news."""
    (labelled,) = bench.must(bench.label_act("C2", "P-002"))

    assert LineMode().line(news(bench, labelled), labelled) == (
        "01:00:00  C2  labelled for P-002 from lot L-100."
    )


def test_before_anything_is_founded_the_voice_can_speak() -> None:
    """UTC until the journal says where the bay stands."""
    empty = News(board=Board(), events=(), at=at("0:00"), wall=START, not_saved=None)

    assert [each.words for each in LineMode().standing(empty)] == ["00:53:20      Nothing runs."]


def test_how_the_record_stands_is_told_as_it_becomes_known(bench: Bench) -> None:
    """Once that it is checked, once how that ended; a percentage is for a screen."""
    voice, told = LineMode(), news(bench)
    half, more = (RecordCheck(state=RecordState.CHECKING, percent=each) for each in (1, 50))
    whole = RecordCheck(state=RecordState.WHOLE, event=9)

    lines = [words(voice, replace(told, record_check=each)) for each in (half, more, whole, whole)]

    assert [len(each) for each in lines] == [1, 0, 1, 0]
    assert "being checked in the background: 1 %" in lines[0][0]
    assert "Records checked: whole, 9 events." in lines[2][0]


def test_a_broken_record_is_told_to_programs_too(bench: Bench) -> None:
    """With its state as a word of its own."""
    broken = RecordCheck(state=RecordState.BROKEN, event=7, why="it was changed")

    (said,) = LineMode().news(replace(news(bench), record_check=broken))

    assert "RECORD BROKEN at event 7" in said.words
    assert (said.fields["news"], said.fields["state"]) == ("records", "broken")


def test_a_record_that_was_read_whole_at_the_start_is_no_news(bench: Bench) -> None:
    """Nothing else was ever expected."""
    whole = RecordCheck(state=RecordState.WHOLE)

    assert words(LineMode(), replace(news(bench), record_check=whole)) == []


def test_after_the_clock_was_set_a_late_line_keeps_the_time_it_had(bench: Bench) -> None:
    """What is told late is told with the time at which it was."""
    told = news(bench, alert())
    jumps = ((later(told.at, Span(-60_000)), Span(-3_600_000)),)
    board = replace(bench.board, clock_jumps=jumps)
    voice = LineMode()
    (said,) = voice.news(replace(told, board=board, wall=told.wall - 3_600_000))
    (unset,) = LineMode().news(told)
    assert said.fields["at"] != unset.fields["at"]
    hour_ago = later(told.at, Span(-3_600_000))
    assert voice._said(hour_ago, "", {}).fields["at"] == said.fields["at"]
