"""The answer for a bay is kept as long as it holds, and worked out from the board alone."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace
from typing import Any

import pytest

from builders import NASAL, THREE_LINES, Bench, at, private, span
from core.starts.test_planned_starts import with_break
from readbell.bay.outlook import (
    LEARN_EVERY,
    MOST_RUNNING,
    Outlook,
    breaks_of,
    outlook_of,
    to_be_begun,
)
from readbell.core.board.acts import RegisterPerson
from readbell.core.board.board import Board
from readbell.core.instant import later
from readbell.core.plan.answer import STANDS_FOR
from readbell.core.plan.answer_state import AnswerState
from readbell.core.plan.bench import Break
from readbell.scenarios.plan_lines import NextStartLine
from readbell.settings.site_settings import SiteSettings


def test_without_an_assay_there_is_no_answer() -> None:
    """Nobody can be begun."""
    assert Outlook().at(Board(), at("0:00")) is None
    assert to_be_begun(Board()) is None


def test_with_far_too_many_running_it_is_not_worked_out() -> None:
    """It would take time from the screen, and nobody could follow it."""
    bench = Bench()
    cartridge = bench.to_well()
    many = {str(each): cartridge for each in range(MOST_RUNNING + 1)}

    assert Outlook().at(replace(bench.board, running=many), at("3:00")) is None


def test_the_same_board_is_asked_about_once_until_the_answer_has_passed() -> None:
    """It stands on every picture, and a picture is made each second."""
    outlook, board = Outlook(), Bench().board
    first = outlook.at(board, at("0:00"))

    assert first is not None
    assert outlook.at(board, at("0:01")) is first
    again = outlook.at(board, later(at("0:00"), STANDS_FOR))
    assert again is not first


def test_another_board_is_another_question() -> None:
    """Somebody has acted."""
    bench, outlook = Bench(), Outlook()
    first = outlook.at(bench.board, at("0:00"))
    bench.label("C1", "P-001", "0:00")

    assert outlook.at(bench.board, at("0:00")) is not first


def test_the_open_box_says_which_assay_is_begun() -> None:
    """Else the one that was adopted last."""
    bench = Bench(THREE_LINES)
    assert to_be_begun(bench.board) == THREE_LINES


@pytest.mark.parametrize(("worn", "takes"), [(None, NASAL.glove_change), (35, span("0:35"))])
def test_the_settings_say_how_many_are_at_work_and_how_long_gloves_take(
    worn: int | None, takes: int
) -> None:
    """As the assay has it where the site says nothing."""
    found = outlook_of(SiteSettings(hands=3, gloves_seconds=worn)).at(Bench().board, at("0:00"))

    assert found is not None
    assert len(found.bench.hands) == 3
    assert {task.gloves for task in found.chain} == {takes}


def test_a_break_counts_from_now_and_by_the_operator_s_key() -> None:
    """As the bay knows them; in the order of time."""
    line = NextStartLine.model_validate(
        {
            "do": "next-start",
            "breaks": [
                {"operator": "op-1", "from": "30:00", "to": "40:00"},
                {"operator": "op-1", "from": "5:00", "to": "20:00"},
            ],
        }
    )

    assert breaks_of(line.breaks, Bench().board, at("1:00")) == {
        "key-op-1": [
            Break(since=at("6:00"), until=at("21:00")),
            Break(since=at("31:00"), until=at("41:00")),
        ]
    }


def test_times_are_learnt_anew_as_cartridges_end() -> None:
    """Not with each of them."""
    assert LEARN_EVERY > 1
    bench, outlook = Bench(), Outlook()
    bench.to_well()
    bench.must(bench.void_act(), "3:00")

    assert outlook.at(bench.board, at("3:00")) is not None


def test_what_changes_nothing_that_it_hangs_on_asks_nothing_anew() -> None:
    """Somebody new was entered: nothing more runs."""
    bench, outlook = Bench(), Outlook()
    first = outlook.at(bench.board, at("0:00"))
    bench.must(RegisterPerson(by="op-1", person=private("P-777")))

    assert outlook.at(bench.board, at("0:01")) is first
    assert outlook.seen(bench.board, at("0:01")) == (first, AnswerState.STANDS)
    assert outlook.renewed(bench.board, at("0:01")) is not first


def test_the_breaks_of_a_loaded_plan_are_counted_beside_those_that_are_told() -> None:
    """Nobody can be begun by one who is away."""
    bench, outlook = Bench(), Outlook()
    bench.must(with_break(1, "0:00", "5:00"))
    found = outlook.at(bench.board, at("1:00"))
    told = Break(since=at("5:00"), until=at("9:00"))
    both = outlook.worked_out(bench.board, at("1:00"), breaks={"operator 1": [told]})
    other = outlook.worked_out(bench.board, at("1:00"), breaks={"key-op-1": [told]})

    assert found is not None
    assert both is not None
    assert other is not None
    assert [each.number for each in found.pauses] == [1]
    assert found.bench.hands[0].breaks == (Break(since=at("0:00"), until=at("5:00")),)
    assert found.start.at == at("5:00")
    assert both.bench.hands[0].breaks[1:] == (told,)
    assert other.bench.hands[0].breaks == (Break(since=at("0:00"), until=at("5:00")),)


@pytest.mark.parametrize("changed", ["policy", "roster", "plan", "running", "assays"])
def test_whatever_an_answer_hangs_on_asks_anew(changed: str) -> None:
    """A site may have decided that strips are read twice, and there is no guarantee then."""
    outlook, board = Outlook(), Bench().board
    outlook.at(board, at("0:00"))
    kept = getattr(board, changed)
    other = dict(kept) if isinstance(kept, Mapping) else object() if kept is None else replace(kept)
    change: dict[str, Any] = {changed: other}

    assert outlook.seen(replace(board, **change), at("0:01"))[1] is AnswerState.PASSED
