"""Scenarios made by chance: the same for the same seed, always valid, and as hard as was asked."""

from __future__ import annotations

import re

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from builders import NASAL, THREE_LINES
from readbell.core.rehearsal.check import faults_of
from readbell.core.rehearsal.scenario import Difficulty, FlawKind, InterruptionKind
from readbell.core.rehearsal.virtual_cartridge import Shade
from readbell.scenarios.draws import Draws
from readbell.scenarios.making import Asked, Wording, make_scenario
from readbell.scenarios.scenario_file import read_scenario

WORDS = Wording(
    made_by="# Made.",
    title="A title",
    goal="A goal",
    teaching="A line",
    questions=tuple((f"Question {n}?", ("yes",)) for n in range(3)),
    car_leaves="Gone: {persons}.",
    called_away="{operator} for {minutes}.",
    lid_closed="Shut for {minutes}.",
)

ASKED = st.builds(
    Asked,
    people=st.integers(1, 40),
    operators=st.integers(1, 4),
    difficulty=st.sampled_from(Difficulty),
    seed=st.integers(0, 10_000),
    assay=st.just(NASAL.id),
    strips=st.booleans(),
)


def asked(difficulty: Difficulty, people: int = 24, operators: int = 2, seed: int = 7) -> Asked:
    """Return what is asked for."""
    return Asked(
        people=people, operators=operators, difficulty=difficulty, seed=seed, assay=NASAL.id
    )


@settings(max_examples=60, deadline=None)
@given(wanted=ASKED, eased=st.integers(0, 5))
def test_what_is_made_is_a_valid_scenario(wanted: Asked, eased: int) -> None:
    """For any seed, any number of people, and however often it was eased."""
    found = read_scenario(make_scenario(wanted, NASAL, WORDS, eased), "made.toml")

    assert list(faults_of(found, [NASAL])) == []
    assert len(found.persons) == wanted.people
    assert len(found.operators) == wanted.operators
    assert [each.arrives for each in found.persons] == sorted(
        each.arrives for each in found.persons
    )


@settings(max_examples=20, deadline=None)
@given(wanted=ASKED)
def test_the_same_seed_makes_the_same_file(wanted: Asked) -> None:
    """To the last byte; else nobody could be given the same task twice."""
    assert make_scenario(wanted, NASAL, WORDS) == make_scenario(wanted, NASAL, WORDS)


def test_another_seed_makes_another_file() -> None:
    """Chance it is."""
    files = {make_scenario(asked(Difficulty.HARD, seed=n), NASAL, WORDS) for n in range(5)}

    assert len(files) == 5


def test_a_file_made_long_ago_is_made_the_same_today() -> None:
    """Chance hangs on the seed alone, and on no library that may change."""
    draws = Draws(7, "people")

    assert [draws.below(1_000) for _ in range(6)] == [731, 97, 377, 974, 644, 903]


def test_an_easy_scenario_has_nothing_in_the_way() -> None:
    """One after the other, and no line that is hard to see."""
    found = read_scenario(make_scenario(asked(Difficulty.EASY), NASAL, WORDS), "made.toml")
    shades = {line.strength for each in found.persons for line in each.shows.tests}

    assert (found.interruptions, found.flaws, dict(found.cartridges)) == ((), (), {})
    assert Shade.VERY_FAINT not in shades
    assert len({each.arrives for each in found.persons}) == len(found.persons)


def test_the_worst_scenario_has_everything_in_the_way() -> None:
    """Every kind of interruption, every flaw, and two of one surname."""
    found = read_scenario(make_scenario(asked(Difficulty.WORST), NASAL, WORDS), "made.toml")
    names = [dict(each.particulars) for each in found.persons]
    surnames = [name.split()[1] for each in names for name in each.values()]

    assert {each.kind for each in found.interruptions} == set(InterruptionKind)
    assert {each.kind for each in found.flaws} == set(FlawKind)
    assert len(surnames) == 24
    assert len(set(surnames)) < 24
    assert found.policy.second_identifier == "name"


def test_nobody_is_called_away_from_a_bay_of_one_and_one_car_stays() -> None:
    """Nobody would be left to do the work, or to be tested."""
    found = read_scenario(
        make_scenario(asked(Difficulty.WORST, people=1, operators=1), NASAL, WORDS), "made.toml"
    )

    assert {each.kind for each in found.interruptions} == {
        InterruptionKind.QUESTION,
        InterruptionKind.LID_CLOSED,
    }
    assert found.flaws == ()


def test_a_set_of_strips_has_faint_lines_and_nothing_else_in_the_way() -> None:
    """At least twenty, else no kappa is shown; most of its lines are weak."""
    wanted = Asked(
        people=60, operators=1, difficulty=Difficulty.NORMAL, seed=7, assay=NASAL.id, strips=True
    )
    found = read_scenario(make_scenario(wanted, NASAL, WORDS), "made.toml")
    shades = [line.strength for each in found.persons for line in each.shows.tests]

    assert (found.interruptions, found.flaws) == ((), ())
    assert 20 <= len(shades) <= 50
    assert sum(each is not Shade.CLEAR for each in shades) > len(shades) / 2
    assert found.cartridges != {}


def test_each_positive_shows_before_the_window_opens() -> None:
    """A line that came later would be one nobody could be blamed for missing."""
    found = read_scenario(make_scenario(asked(Difficulty.WORST, people=40), NASAL, WORDS), "made")

    assert all(
        line.start <= NASAL.reading.opens for each in found.persons for line in each.shows.tests
    )


def test_on_a_device_with_several_lines_each_positive_names_its_own() -> None:
    """Without a name nobody could tell which it is."""
    wanted = Asked(people=30, operators=1, difficulty=Difficulty.HARD, seed=3, assay=THREE_LINES.id)
    found = read_scenario(make_scenario(wanted, THREE_LINES, WORDS), "made.toml")
    named = {line.line for each in found.persons for line in each.shows.tests}

    assert list(faults_of(found, [THREE_LINES])) == []
    assert named <= set(THREE_LINES.line_keys)
    assert len(named) > 1


def test_easing_brings_people_further_apart_and_changes_nothing_else() -> None:
    """So that what was too much becomes what can be kept."""
    first, second = (make_scenario(asked(Difficulty.HARD), NASAL, WORDS, n) for n in (0, 2))
    last = [read_scenario(each, "made.toml").persons[-1].arrives for each in (first, second)]

    assert last[1] > last[0]
    assert re.sub(r"(at|arrives|until) = .*", "", first) == re.sub(
        r"(at|arrives|until) = .*", "", second
    )


@pytest.mark.parametrize(
    ("strips", "command"),
    [
        pytest.param(
            False,
            "readbell scenario make --people 24 --operators 2 --difficulty hard --seed 7 "
            "--assay respiratory-antigen-nasal",
            id="people",
        ),
        pytest.param(
            True,
            "readbell scenario make --strips 24 --operators 2 --seed 7 "
            "--assay respiratory-antigen-nasal",
            id="strips",
        ),
    ],
)
def test_a_file_says_what_makes_it_again(command: str, *, strips: bool) -> None:
    """Whoever lost it needs one line."""
    wanted = Asked(
        people=24,
        operators=2,
        difficulty=Difficulty.HARD,
        seed=7,
        assay=NASAL.id,
        strips=strips,
    )

    assert wanted.command == command
