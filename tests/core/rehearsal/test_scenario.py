"""Which bands a cartridge of a scenario shows."""

from __future__ import annotations

from readbell.core.instant import Span
from readbell.core.rehearsal.scenario import Scenario, ScriptedPerson
from readbell.core.rehearsal.virtual_cartridge import Shows

NEVER_RUNS = Shows(control_from=None)
SLOW = Shows(control_from=Span(400_000))

SCENARIO = Scenario(
    title="Three ways to say what shows",
    starts=0,
    timezone="UTC",
    assay="respiratory-antigen-nasal",
    operators=("op-1",),
    lots=(),
    persons=(ScriptedPerson(id="P-001", arrives=Span(0), shows=SLOW),),
    cartridges={"C1": NEVER_RUNS},
)


def test_a_device_that_shows_something_of_its_own_goes_before_its_person() -> None:
    """A repeat for the same person on a sound device must not fail as well."""
    assert SCENARIO.shows("C1", "P-001") == NEVER_RUNS
    assert SCENARIO.shows("C2", "P-001") == SLOW


def test_a_person_of_whom_nothing_is_said_shows_a_sound_negative() -> None:
    """Most people are negative, so that is what need not be written."""
    assert SCENARIO.shows("C2", "P-002") == Shows()
    assert SCENARIO.shows("C2", None) == Shows()
