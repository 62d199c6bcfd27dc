"""The next safe start for a program that asks: the instant, the rule and what comes first."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

from readbell.core.instant import between, earlier, seconds
from readbell.phrases.next_start_words import say_plan

if TYPE_CHECKING:
    from readbell.bay.news import News
    from readbell.core.board.board import Board
    from readbell.core.plan.agenda import Agenda
    from readbell.core.plan.answer import Answer
    from readbell.core.plan.bench import Task
    from readbell.phrases.clock_time import ClockFace


def next_start_said(found: Answer, present: News, face: ClockFace) -> tuple[str, dict[str, Any]]:
    """Return the words of the answer, and the same as fields."""
    board, now, start = present.board, present.at, found.start
    words = "  ".join(" ".join(each.split()) for each in say_plan(found, board, now, face))
    fields: dict[str, Any] = {
        "answer": "next-start",
        "accepted": True,
        "rule": str(found.rule),
        "now": start.is_now(now),
        "in_s": None if start.at is None else seconds(between(now, max(now, start.at))),
        "starts": None if start.at is None else face.local(start.at).isoformat(),
        "first": [_task(each.task, board) for each in start.first],
        "at_risk": [_task(each, board) for each in start.at_risk],
        "no_guarantee": [str(each.condition) for each in found.broken],
        "not_counted": [each.label for each in found.left_out],
        "spare_s": seconds(found.spare),
        "next": [_hand(each, board, face) for each in found.agendas],
    }
    return words, fields


def _task(task: Task, board: Board) -> dict[str, Any]:
    cartridge = board.cartridge(task.key[0])
    return {"cartridge": None if cartridge is None else cartridge.label, "do": list(task.parts)}


def _hand(agenda: Agenda, board: Board, face: ClockFace) -> dict[str, Any]:
    return {
        "operator": board.name(agenda.hand.name),
        "list": [
            {
                "from": face.local(earlier(each.begins, each.fresh)).isoformat(),
                "gloves_s": seconds(each.fresh),
                "new": each.is_start,
                **_task(each.task, board),
            }
            for each in agenda.entries
        ],
    }
