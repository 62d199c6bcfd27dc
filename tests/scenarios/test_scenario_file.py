"""A scenario file is read as the contract says."""

from __future__ import annotations

from datetime import date
from typing import TYPE_CHECKING

import pytest

from builders import span
from readbell.core.board.entry import Do
from readbell.core.reading.bands import Unreadable
from readbell.core.rehearsal.virtual_cartridge import USUAL_CONTROL_FROM, Comes, Shade
from readbell.scenarios.scenario_file import read_scenario

if TYPE_CHECKING:
    from scenarios.conftest import Changed


def test_a_scenario_is_read_as_it_is_written(changed: Changed) -> None:
    """Every table of the contract has its place."""
    found = read_scenario(changed(), "day.toml")

    assert (found.title, found.timezone, found.assay) == (
        "A morning",
        "Europe/London",
        "respiratory-antigen-nasal",
    )
    assert found.operators == ("op-1",)
    assert [(lot.number, lot.expires, lot.units) for lot in found.lots] == [
        ("L-100", date(2026, 12, 31), 20)
    ]
    assert [(each.id, each.arrives) for each in found.persons] == [("P-001", span("0:05"))]
    assert [(act.at, act.entry.do) for act in found.acts] == [
        (span("0:10"), Do.LABEL),
        (span("0:30"), Do.STEP),
    ]


@pytest.mark.parametrize(
    "written",
    [
        "2026-03-29T00:40:00+00:00",
        "2026-03-29T01:40:00+01:00",
        "2026-03-28T19:40:00-05:00",
        "2026-03-29T00:40:00Z",
        "2026-03-29T00:40:00.000999Z",
    ],
)
def test_one_start_may_be_written_with_any_offset(changed: Changed, written: str) -> None:
    """A copy of somebody's day begins at the same instant wherever it is played."""
    text = changed("2026-03-29T00:40:00+00:00", written)

    assert read_scenario(text, "day.toml").starts == 1_774_744_800_000


def test_milliseconds_of_a_start_count(changed: Changed) -> None:
    """Whole milliseconds, as everywhere."""
    text = changed("00:40:00+00:00", "00:40:00.250+00:00")

    assert read_scenario(text, "day.toml").starts == 1_774_744_800_250


def test_bands_left_out_show_a_control_line_and_nothing_else(changed: Changed) -> None:
    """Most people at a bench are negative."""
    text = changed().replace(
        '[person.bands]\ncontrol = "3:00"\ntest = { from = "6:30", strength = "faint" }\n', ""
    )
    (person,) = read_scenario(text, "day.toml").persons

    assert person.shows.control_from == USUAL_CONTROL_FROM == span("3:00")
    assert person.shows.tests == ()


@pytest.mark.parametrize(
    ("old", "new", "tests"),
    [
        pytest.param("", "", (("", "6:30", Shade.FAINT),), id="one line, faint"),
        pytest.param(
            ', strength = "faint"', "", (("", "6:30", Shade.CLEAR),), id="clear if not said"
        ),
        pytest.param('{ from = "6:30", strength = "faint" }', '"never"', (), id="never"),
        pytest.param(
            'test = { from = "6:30", strength = "faint" }',
            'test.A = { from = "6:30" }\ntest.B = "never"',
            (("A", "6:30", Shade.CLEAR),),
            id="several lines",
        ),
    ],
)
def test_test_lines_come_as_they_are_written(
    changed: Changed, old: str, new: str, tests: tuple[tuple[str, str, Shade], ...]
) -> None:
    """One line or several, early, late or never."""
    (person,) = read_scenario(changed(old, new), "day.toml").persons

    assert person.shows.tests == tuple(
        Comes(line=line, start=span(start), strength=strength) for line, start, strength in tests
    )


def test_a_control_line_may_never_come(changed: Changed) -> None:
    """An invalid strip is part of any honest rehearsal."""
    (person,) = read_scenario(changed('control = "3:00"', 'control = "never"'), "x").persons

    assert person.shows.control_from is None


def test_a_cartridge_of_its_own_goes_before_the_persons_bands(changed: Changed) -> None:
    """A faulty device is faulty whoever it is run for."""
    text = changed(more='\n[[cartridge]]\nid = "C1"\nbands = { control = "never" }\n')
    found = read_scenario(text, "day.toml")

    assert found.shows("C1", "P-001").control_from is None
    assert found.shows("C2", "P-001").control_from == span("3:00")


def test_a_lot_may_name_its_own_assay(changed: Changed) -> None:
    """Two kits on one shelf are daily life."""
    text = changed("units = 20", 'units = 20\nassay = "respiratory-antigen-three-lines"')

    assert read_scenario(text, "x").lots[0].assay == "respiratory-antigen-three-lines"


def test_a_lot_without_units_is_not_counted(changed: Changed) -> None:
    """A box whose content nobody counted never runs out."""
    assert read_scenario(changed("units = 20\n", ""), "x").lots[0].units is None


def test_a_nap_shuts_the_lid(changed: Changed) -> None:
    """A rehearsal can show what a closed lid does to alarms."""
    text = changed(more='\n[[lid]]\nshut = "1:00"\nopen = "2:00"\n')
    (nap,) = read_scenario(text, "x").naps

    assert (nap.shut, nap.open) == (span("1:00"), span("2:00"))


def test_bands_of_an_act_and_its_late_truth_are_read(changed: Changed) -> None:
    """What an operator enters stands beside when they say it was done."""
    text = changed(
        more="""
[[act]]
at = "2:00"
by = "op-1"
do = "step"
cartridge = "C1"
step = "collect"
done_at = "1:40"
give_or_take = 7.5

[[act]]
at = "18:00"
by = "op-1"
do = "read"
cartridge = "C1"
unreadable = "smear"
"""
    )
    *_, stated, smeared = read_scenario(text, "x").acts

    assert (stated.done_at, stated.entry.give_or_take) == (span("1:40"), span("0:07.500"))
    assert smeared.entry.unreadable is Unreadable.SMEAR
