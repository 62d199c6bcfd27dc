"""A scenario that names what its assay has not is refused before it is played."""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING

import pytest

from builders import NASAL, THREE_LINES, span
from readbell.core.board.entry import Do, Entry
from readbell.core.instant import Span
from readbell.core.rehearsal.check import faults_of
from readbell.core.rehearsal.scenario import Scenario, ScriptedAct, ScriptedPerson
from readbell.core.rehearsal.virtual_cartridge import Comes, Shade, Shows

if TYPE_CHECKING:
    from readbell.core.assay.assay import Assay

BARE = Scenario(
    title="Nothing wrong",
    starts=0,
    timezone="UTC",
    assay=NASAL.id,
    operators=("op-1",),
    lots=(),
    persons=(),
)


def shows(line: str) -> Shows:
    """Return bands on which one line comes."""
    return Shows(tests=(Comes(line=line, start=span("5:00"), strength=Shade.CLEAR),))


def with_person(line: str) -> Scenario:
    """Return a scenario of one person whose strip shows `line`."""
    person = ScriptedPerson(id="P-001", arrives=Span(0), shows=shows(line))
    return replace(BARE, persons=(person,))


def with_step(step: str, do: Do = Do.STEP) -> Scenario:
    """Return a scenario of one act."""
    act = ScriptedAct(at=Span(0), entry=Entry(do=do, by="op-1", cartridge="C1", step=step))
    return replace(BARE, acts=(act,))


@pytest.mark.parametrize(
    ("scenario", "assay"),
    [
        pytest.param(BARE, NASAL, id="nothing named"),
        pytest.param(with_step("buffer"), NASAL, id="a step of the assay"),
        pytest.param(with_step("", Do.READ), NASAL, id="an act that names no step"),
        pytest.param(with_person(""), NASAL, id="the only line, without a name"),
        pytest.param(with_person("T"), NASAL, id="a line by its letter"),
        pytest.param(with_person("influenza-b"), THREE_LINES, id="one of three lines by its key"),
    ],
)
def test_a_scenario_that_fits_its_assay_has_no_fault(scenario: Scenario, assay: Assay) -> None:
    """A check that cries wolf would be taken out."""
    assert list(faults_of(scenario, [assay])) == []


def test_an_unknown_step_is_named_with_its_place_and_the_steps_there_are() -> None:
    """A misspelt step would otherwise be refused in the middle of the play as out of order."""
    (fault,) = faults_of(with_step("incubate"), [NASAL])

    assert fault == (
        "act.1.step = 'incubate': the assay has no such step: "
        "use label, buffer, collect, extract, withdraw, apply"
    )


def test_an_unknown_line_of_a_person_is_named_with_the_lines_there_are() -> None:
    """A misspelt line would never come, and the strip would be read as a negative."""
    assert list(faults_of(with_person("X"), [NASAL])) == [
        "bands.test.X of person P-001: the assay has no such line: use T, sars-cov-2"
    ]


def test_an_unknown_line_of_a_cartridge_is_named_too() -> None:
    """A device's own bands are held to the same names."""
    scenario = replace(BARE, cartridges={"C7": shows("X")})

    (fault,) = faults_of(scenario, [NASAL])

    assert fault.startswith("bands.test.X of cartridge C7:")


def test_a_line_without_a_name_is_a_fault_where_there_are_several() -> None:
    """Nobody could say which line was meant."""
    (fault,) = faults_of(with_person(""), [THREE_LINES])

    assert fault == (
        "bands.test of person P-001: the device has several lines: "
        "name each, as in test.influenza-a"
    )


def test_names_of_every_assay_of_the_scenario_are_known() -> None:
    """A lot may be of another assay than the scenario's own."""
    assert list(faults_of(with_person("influenza-a"), [NASAL, THREE_LINES])) == []
