"""The form in the room of the plan: so many people and hands become a batch plan that is loaded."""

from __future__ import annotations

import re
from typing import TYPE_CHECKING

from readbell.bay.outlook import to_be_begun
from readbell.core.board.to_start import to_start
from readbell.core.instant import SECOND, Span
from readbell.core.plan.batch.break_text import overlapping, read_break
from readbell.core.plan.batch.job import Fault, batch_of
from readbell.core.plan.batch.planner import plan
from readbell.core.plan.hands_on import READING
from readbell.core.plan.work import work_of
from readbell.hand.asking import NOBODY, asked, stay
from readbell.hand.doing import Filling, Paper
from readbell.hand.given import Key
from readbell.hand.hand import Hand, Turn, only
from readbell.phrases.plan_guide import say_no_plan
from readbell.reports.plan_report import as_line
from readbell.scenarios.plan_loading import (
    MOST_OPERATORS,
    MOST_STARTS,
    DropPlanLine,
    LoadPlanLine,
)

if TYPE_CHECKING:
    from collections.abc import Mapping

    from readbell.core.assay.assay import Assay
    from readbell.core.plan.batch.job import Batch, Break
    from readbell.hand.question import Option
    from readbell.hand.scene import Scene

MOST_SLACK = 3_600
"""Seconds; no bundled window is longer, and what is too much for one is said of that one."""

ASKED: tuple[tuple[str, str, tuple[Option, ...]], ...] = (
    ("people", "How many people are to be begun", ()),
    ("operators", "How many operators are at work", ()),
    ("slack", "Seconds to keep before the end of each read window, 0 for none", ()),
    ("breaks", "Breaks as operator:from-to, such as 1:30:00-40:00, or none", ()),
)
"""Key, words and answers of each line of the form."""
_MOST = {"people": MOST_STARTS, "operators": MOST_OPERATORS, "slack": MOST_SLACK}
_LEAST = {"people": 1, "operators": 1, "slack": 0}
NO_BREAKS = "none"
NO_ASSAY = "No assay is adopted yet, so nothing can be planned. Adopt one first (F9)."
NOTHING_HERE = "F2 makes a plan and loads it, F6 drops the one that is loaded."


def in_plan(hand: Hand, key: Key, scene: Scene) -> Turn:
    """Return what a key does in the room."""
    match key:
        case Key.START if to_be_begun(scene.board) is None:
            return only(hand.saying(NO_ASSAY, fine=False))
        case Key.START:
            return only(hand.now_doing(_proposed(scene)))
        case Key.SECOND if hand.operator is None:
            return only(hand.saying(NOBODY, fine=False))
        case Key.SECOND:
            return asked(hand, DropPlanLine(do="drop-plan", by=hand.operator or ""), stay())
        case _:
            return only(hand.saying(NOTHING_HERE))


def _proposed(scene: Scene) -> Filling:
    """Return the form with those who wait and the hands at work: wishes, which nobody has to check."""
    waiting = len(to_start(scene.board))
    found = scene.looked_ahead()
    hands = 1 if found is None else len(found.bench.hands)
    answers = [("operators", str(hands)), ("slack", "0"), ("breaks", NO_BREAKS)]
    if waiting:
        answers.append(("people", str(waiting)))
    return Filling(paper=Paper.PLAN, answers=tuple(answers))


def fault_of(key: str, text: str) -> str | None:
    """Say in one sentence what is wrong with `text` as an answer, or None if nothing is."""
    if key == "breaks":
        return next(
            (
                f'"{each}" will not do. Type operator:from-to, as in 1:30:00-40:00, several '
                f'with blanks between them, or "{NO_BREAKS}".'
                for each in _written(text)
                if read_break(each) is None
            ),
            None,
        )
    least, most = _LEAST[key], _MOST[key]
    if re.fullmatch(r"\d{1,5}", text, re.ASCII) is None or not least <= int(text) <= most:
        return f'"{text}" will not do. Type a whole number from {least} to {most:,}.'
    return None


def fault_of_plan(said: Mapping[str, str], scene: Scene) -> str | None:
    """Say in one sentence why no plan can be made of a whole form, or None if one can."""
    assay = to_be_begun(scene.board)
    if assay is None:
        return NO_ASSAY
    breaks, operators = _breaks(said), int(said["operators"])
    strange = next((each for each in breaks if each.operator >= operators), None)
    if strange is not None:
        return (
            f"A break is for operator {strange.operator + 1}, and the plan has {operators}: type "
            "an operator from 1 on."
        )
    twice = overlapping(breaks)
    if twice is not None:
        return f"Two breaks of operator {twice.operator + 1} overlap: make them one."
    found = _batch(said, assay, scene)
    return say_no_plan(found, assay.title) if isinstance(found, Fault) else None


def line_of(said: Mapping[str, str], by: str, scene: Scene) -> LoadPlanLine:
    """Return what a whole form without a fault asks of the bay."""
    assay = to_be_begun(scene.board)
    assert assay is not None  # noqa: S101  # asked for before, as a fault
    batch = _batch(said, assay, scene)
    assert not isinstance(batch, Fault)  # noqa: S101  # the same
    return LoadPlanLine.model_validate(as_line(plan(batch), assay.id, by, batch.breaks))


def _batch(said: Mapping[str, str], assay: Assay, scene: Scene) -> Batch | Fault:
    # A site's own change of gloves is known from what the next safe start was worked out of.
    found = scene.looked_ahead()
    gloves = None if found is None else found.chain[0].gloves
    return batch_of(
        work_of(assay, gloves=gloves),
        arrivals=[Span(0)] * int(said["people"]),
        operators=int(said["operators"]),
        breaks=_breaks(said),
        slack={READING: Span(int(said["slack"]) * SECOND)},
    )


def _breaks(said: Mapping[str, str]) -> tuple[Break, ...]:
    found = (read_break(each) for each in _written(said["breaks"]))
    return tuple(each for each in found if each is not None)


def _written(text: str) -> list[str]:
    return [] if text.strip().lower() == NO_BREAKS else text.split()
