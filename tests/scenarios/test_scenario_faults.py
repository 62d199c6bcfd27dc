"""What is wrong with a scenario file is told in one sentence: place, value and cure."""

from __future__ import annotations

from typing import TYPE_CHECKING

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from readbell.scenarios.scenario_file import read_scenario
from readbell.toml_tables import WrongFileError

if TYPE_CHECKING:
    from scenarios.conftest import Changed


def fault_of(text: str) -> str:
    """What is said of a file with this text."""
    with pytest.raises(WrongFileError) as refused:
        read_scenario(text, "day.toml")
    return str(refused.value)


ONE_OF = (
    "use 'label', 'step', 'look', 'read', 'void', 'hold-lot', 'state-application', 'answer', "
    "'begin-box', 'take-out', 'put-back', 'lose-units', 'count-units', 'recall-lot', "
    "'release-lot', 'take-back-step' or 'correct-lot'"
)
TIME = 'write a time as "15:00", or "0:15:00" with hours'


@pytest.mark.parametrize(
    ("old", "new", "fault"),
    [
        pytest.param('title = "A morning"\n', "", "title is missing: add it", id="no title"),
        pytest.param(
            "starts = 2026-03-29T00:40:00+00:00\n", "", "starts is missing: add it", id="no start"
        ),
        pytest.param(
            'timezone = "Europe',
            'timzone = "Europe',
            "timzone is not a key this file may have: take it out or mend its name",
            id="a misspelt key",
        ),
        pytest.param(
            "units = 20",
            "unit = 20",
            "lot.1.unit is not a key this file may have: take it out or mend its name",
            id="a misspelt key of a lot",
        ),
        pytest.param(
            'step = "buffer"',
            'step = "buffer"\ndrops = 8',
            "act.2.drops is not a key this file may have: take it out or mend its name",
            id="an unknown key of an act",
        ),
        pytest.param(
            'arrives = "0:05"',
            'arrives = "5 s"',
            f"person.1.arrives = '5 s': {TIME}",
            id="a time in words",
        ),
        pytest.param(
            'at = "0:30"', 'at = "0:75"', f"act.2.at = '0:75': {TIME}", id="seventy-five seconds"
        ),
        pytest.param('at = "0:30"', "at = 30", f"act.2.at = 30: {TIME}", id="a bare number"),
        pytest.param('at = "0:30"\n', "", "act.2.at is missing: add it", id="an act without time"),
        pytest.param(
            'at = "0:30"',
            'at = "0:09.999"',
            "act.2.at: it is earlier than the act before it: put the acts in the order of time",
            id="acts out of order",
        ),
        pytest.param(
            'step = "buffer"\n', "", 'act.2: do = "step" needs step: add it', id="no step named"
        ),
        pytest.param(
            'lot = "L-100"\n', "", 'act.1: do = "label" needs lot: add it', id="no lot named"
        ),
        pytest.param(
            'step = "buffer"',
            'step = "buffer"\ncontrol = true',
            'act.2: control does not go with do = "step": take it out',
            id="bands on a step",
        ),
        pytest.param(
            'do = "step"',
            'do = "shake"',
            f"act.2.do = 'shake': {ONE_OF}",
            id="an unknown act",
        ),
        *(
            pytest.param(
                'do = "step"',
                f'do = "{do}"',
                f"act.2.do = '{do}': {ONE_OF}",
                id=f"{do}, for a bay alone",
            )
            for do in ("steps", "correct-reading", "open-lot", "register-party")
        ),
        pytest.param(
            'do = "step"',
            'do = ["step"]',
            f"act.2.do = ['step']: {ONE_OF}",
            id="several acts in one",
        ),
        pytest.param(
            'step = "buffer"',
            'step = "buffer"\nsteps = ["buffer"]',
            "act.2.steps is not a key this file may have: take it out or mend its name",
            id="several steps in one act",
        ),
        pytest.param(
            '"faint"',
            '"strong"',
            "person.1.bands.test.strength = 'strong': use 'absent', 'very-faint', 'faint' or 'clear'",
            id="a wrong strength",
        ),
        pytest.param(
            'test = { from = "6:30", strength = "faint" }',
            'test.A = { from = "6:30", strength = "strong" }',
            "person.1.bands.test.A.strength = 'strong': use 'absent', 'very-faint', 'faint' or 'clear'",
            id="a wrong strength of one line of several",
        ),
        pytest.param(
            'test = { from = "6:30", strength = "faint" }',
            "test = true",
            'person.1.bands.test = True: write "never", or { from = "6:30", strength = "faint" }',
            id="a yes for a line",
        ),
        pytest.param(
            "expires = 2026-12-31",
            'expires = "2026-12-31"',
            "lot.1.expires = '2026-12-31': write a day as 2026-12-31, without quotes",
            id="a day in quotes",
        ),
        pytest.param(
            "units = 20",
            "units = -1",
            "lot.1.units = -1: it should be greater than or equal to 0",
            id="less than no units",
        ),
    ],
)
def test_each_slip_is_one_sentence_with_place_value_and_cure(
    changed: Changed, old: str, new: str, fault: str
) -> None:
    """Whoever writes a scenario by hand finds the slip without help."""
    assert fault_of(changed(old, new)) == f"day.toml: {fault}"


@pytest.mark.parametrize(
    ("table", "fault"),
    [
        pytest.param(
            '[[operator]]\nid = "op-1"', "operator.id = 'op-1': it stands 2 times", id="operators"
        ),
        pytest.param(
            '[[lot]]\nnumber = "L-100"\nexpires = 2026-12-31',
            "lot.number = 'L-100': it stands 2 times",
            id="lots",
        ),
        pytest.param(
            '[[person]]\nid = "P-001"', "person.id = 'P-001': it stands 2 times", id="persons"
        ),
        pytest.param(
            '[[cartridge]]\nid = "C1"\nbands = {}\n[[cartridge]]\nid = "C1"\nbands = {}',
            "cartridge.id = 'C1': it stands 2 times",
            id="cartridges",
        ),
    ],
)
def test_a_name_given_twice_is_refused(changed: Changed, table: str, fault: str) -> None:
    """Two people under one id would be one person."""
    assert fault_of(changed(more=f"\n{table}\n")) == (
        f"day.toml: {fault}: give each a name of its own"
    )


@pytest.mark.parametrize(
    ("lid", "fault"),
    [
        pytest.param(
            'shut = "2:00"\nopen = "1:00"',
            "lid.1.open: the lid opens before it is shut",
            id="opened before shut",
        ),
        pytest.param(
            'shut = "0:20"\nopen = "1:00"', "act.2.at: the lid is shut then", id="an act in sleep"
        ),
    ],
)
def test_a_lid_that_makes_no_sense_is_refused(changed: Changed, lid: str, fault: str) -> None:
    """Nobody acts at a computer that sleeps."""
    assert fault_of(changed(more=f"\n[[lid]]\n{lid}\n")).startswith(f"day.toml: {fault}")


@pytest.mark.parametrize("edge", ['shut = "0:30"\nopen = "1:00"', 'shut = "0:20"\nopen = "0:30"'])
def test_an_act_may_stand_at_the_edge_of_a_nap(changed: Changed, edge: str) -> None:
    """As the lid is shut, and as it opens, somebody is there."""
    assert len(read_scenario(changed(more=f"\n[[lid]]\n{edge}\n"), "x").acts) == 2


def test_a_start_without_an_offset_is_refused_in_words_of_the_file(changed: Changed) -> None:
    """An hour is an hour somewhere; the sentence shows how to write where."""
    fault = fault_of(changed("00:40:00+00:00", "00:40:00"))

    assert fault.startswith("day.toml: starts")
    assert "datetime" not in fault
    assert "+00:00" in fault or "offset" in fault


@pytest.mark.parametrize(
    ("old", "new"),
    [
        pytest.param(
            "2026-03-29T00:40:00+00:00", "0001-01-01T00:00:00+14:00", id="a start before all time"
        ),
        pytest.param(
            "2026-03-29T00:40:00+00:00", "9999-12-31T23:59:59-14:00", id="a start after all time"
        ),
        pytest.param('at = "0:30"', 'at = "999999999:00:00"', id="an act in a million years"),
        pytest.param(
            'arrives = "0:05"', 'arrives = "999999999:00:00"', id="an arrival in a million years"
        ),
    ],
)
def test_times_beyond_any_calendar_are_refused(changed: Changed, old: str, new: str) -> None:
    """What could never be shown as a time must not get as far as being played."""
    assert fault_of(changed(old, new)).startswith("day.toml: ")


def test_unknown_keys_are_refused_even_where_nothing_else_is_wrong(changed: Changed) -> None:
    """A key that is silently ignored is a day rehearsed wrongly."""
    fault = fault_of(changed("[[operator]]", 'Comment = "mine"\n[[operator]]'))

    assert fault == (
        "day.toml: Comment is not a key this file may have: take it out or mend its name"
    )


@settings(
    max_examples=50,
    deadline=None,
    suppress_health_check=[HealthCheck.function_scoped_fixture],  # a text, never changed
)
@given(times=st.lists(st.integers(0, 10**7), min_size=1, max_size=6))
def test_acts_are_taken_exactly_if_they_stand_in_the_order_of_time(
    head: str, times: list[int]
) -> None:
    """Equal times are fine: acts of one instant run in the order of the file."""
    acts = "".join(
        f'[[act]]\nat = "{ms // 60_000}:{ms // 1_000 % 60:02d}.{ms % 1_000:03d}"\n'
        'by = "op-1"\ndo = "hold-lot"\nlot = "L-100"\n'
        for ms in times
    )
    taken = True
    try:
        found = read_scenario(head + acts, "day.toml")
        assert [act.at for act in found.acts] == times
    except WrongFileError:
        taken = False

    assert taken == (times == sorted(times))
