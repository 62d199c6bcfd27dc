"""The life of a cartridge is one table: what it does not list cannot have happened."""

from __future__ import annotations

import re

import pytest

from readbell.core.cartridge import stage as life
from readbell.core.cartridge.events import (
    CartridgeLapsed,
    CartridgeRead,
    CartridgeVoided,
    StepDone,
)
from readbell.core.cartridge.stage import ENDS, LIFE, Stage

BY_TIME_ALONE = {Stage.READ_WINDOW, Stage.CLOSING}


def diagram() -> list[list[str]]:
    """The stages that the drawing in the module names, row by row from left to right."""
    drawn = [line for line in (life.__doc__ or "").splitlines() if "->" in line]
    return [re.findall(r"[a-z]+(?:-[a-z]+)?(?=\s|$)", line) for line in drawn]


def test_the_words_of_the_stages_are_those_of_the_contract() -> None:
    """They stand on the board, in every report and in the output that others check."""
    assert [str(each) for each in Stage] == [
        "labelled", "preparing", "extracting", "developing", "read-window", "closing",
        "second-reading-due", "read", "lapsed", "void",
    ]  # fmt: skip


def test_every_recorded_stage_has_its_row() -> None:
    """Stages that come by time alone are worked out and never recorded."""
    assert set(LIFE) == set(Stage) - BY_TIME_ALONE


def test_nothing_leaves_an_end() -> None:
    """Read, lapsed and void are for ever; what is still noted of one leaves it where it is."""
    assert {(end, to) for end in ENDS for ways in LIFE[end].values() for to in ways} == {
        (Stage.READ, Stage.READ),
        (Stage.LAPSED, Stage.LAPSED),
    }


def test_only_what_develops_is_read_or_lapses() -> None:
    """Without drops on the well there is nothing to read and no window to miss."""
    from_where = {
        kind: {stage for stage, row in LIFE.items() if kind in row}
        for kind in (CartridgeRead, CartridgeLapsed)
    }

    assert from_where == {
        CartridgeRead: {Stage.DEVELOPING, Stage.SECOND_READING_DUE},
        CartridgeLapsed: {Stage.DEVELOPING, Stage.SECOND_READING_DUE},
    }


def test_whatever_runs_can_be_given_up_until_somebody_has_read_it() -> None:
    """Plastic is dropped at every stage; what one of two readers has seen stays."""
    running = set(LIFE) - ENDS - {Stage.SECOND_READING_DUE}

    assert {stage for stage, row in LIFE.items() if CartridgeVoided in row} == running


@pytest.mark.parametrize("stage", LIFE)
def test_a_step_never_leads_back(stage: Stage) -> None:
    """An assay may skip preparing or extracting, never the order of the drawing."""
    order = [Stage(word) for word in diagram()[0]]
    ways = LIFE[stage].get(StepDone, ())

    assert [to for to in ways if order.index(to) < order.index(stage)] == []


def test_the_drawing_shows_the_table() -> None:
    """Whoever reads the drawing is told the truth: its top row is the way of a good cartridge."""
    assert diagram()[0] == ["labelled", "preparing", "extracting", "developing", "read"]
    assert {row[-1] for row in diagram()[1:]} == {"lapsed", "void"}


@pytest.mark.parametrize(
    ("end", "event"),
    [
        pytest.param("lapsed", CartridgeLapsed, id="lapsed"),
        pytest.param("void", CartridgeVoided, id="void"),
    ],
)
def test_the_drawing_leads_to_an_end_from_where_the_table_does(
    end: str, event: type[object]
) -> None:
    """A branch under a stage says that this end can follow from it."""
    lines = (life.__doc__ or "").splitlines()
    top = next(line for line in lines if "labelled ->" in line)
    branch = next(line for line in lines if line.endswith(f"> {end}"))
    drawn = [
        stage
        for stage in Stage
        if stage in diagram()[0][:-1]
        and "\\" in branch[top.index(stage) : top.index(stage) + len(stage)]
    ]

    in_words_alone = {Stage.SECOND_READING_DUE}
    assert drawn == [
        stage for stage, row in LIFE.items() if event in row and stage not in in_words_alone
    ]
