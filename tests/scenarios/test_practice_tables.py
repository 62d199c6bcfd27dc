"""What a scenario asks of whoever practises: read as it is written, or refused in one sentence."""

from __future__ import annotations

from datetime import date

import pytest

from readbell.core.instant import Span
from readbell.core.reading.bands import Unreadable
from readbell.core.rehearsal.scenario import (
    Difficulty,
    Flaw,
    FlawKind,
    Interruption,
    InterruptionKind,
    Nap,
)
from readbell.core.rehearsal.virtual_cartridge import Shade, Spoilt
from readbell.scenarios.scenario_file import read_scenario
from readbell.toml_tables import WrongFileError

FRAME = """title = "A morning"
starts = 2026-11-03T09:00:00+00:00
assay = "respiratory-antigen-nasal"
operator = [{ id = "op-1" }]
lot = [{ number = "L-1", expires = 2027-02-28 }]
person = [{ id = "P-001" }, { id = "P-002" }]
"""


def interruption(**said: str) -> str:
    """Return an [[interruption]] that says so, at a minute unless it says when."""
    lines = [
        f"{key} = {value}" for key, value in ({"at": '"1:00"', "says": '"Well?"'} | said).items()
    ]
    return "\n".join(["[[interruption]]", *lines, ""])


def flaw(**said: str) -> str:
    """Return a [[flaw]] of C1 that says so."""
    lines = [f"{key} = {value}" for key, value in ({"cartridge": '"C1"'} | said).items()]
    return "\n".join(["[[flaw]]", *lines, ""])


def fault_of(more: str) -> str:
    """Return what is said of a file with `more` in it."""
    with pytest.raises(WrongFileError) as refused:
        read_scenario(FRAME + more, "day.toml")
    return str(refused.value)


def test_goal_teaching_and_difficulty_are_read() -> None:
    """They are for whoever plays it, and change nothing of how it is played."""
    found = read_scenario('goal = "G"\nteaching = "T"\ndifficulty = "worst"\n' + FRAME, "day.toml")

    assert (found.goal, found.teaching, found.difficulty) == ("G", "T", Difficulty.WORST)
    assert read_scenario(FRAME, "day.toml").difficulty is None


@pytest.mark.parametrize(
    ("text", "wanted"),
    [
        pytest.param(
            interruption(kind='"question"', answer='"yes"'),
            Interruption(
                at=Span(60_000), kind=InterruptionKind.QUESTION, says="Well?", answers=("yes",)
            ),
            id="one right answer",
        ),
        pytest.param(
            interruption(kind='"question"', answer='["yes", "y"]'),
            Interruption(
                at=Span(60_000), kind=InterruptionKind.QUESTION, says="Well?", answers=("yes", "y")
            ),
            id="several",
        ),
        pytest.param(
            interruption(kind='"car-leaves"', persons='["P-001"]'),
            Interruption(
                at=Span(60_000), kind=InterruptionKind.CAR_LEAVES, says="Well?", persons=("P-001",)
            ),
            id="a car",
        ),
        pytest.param(
            interruption(kind='"called-away"', operator='"op-1"', until='"2:00"'),
            Interruption(
                at=Span(60_000),
                kind=InterruptionKind.CALLED_AWAY,
                says="Well?",
                operator="op-1",
                until=Span(120_000),
            ),
            id="an operator",
        ),
        pytest.param(
            interruption(kind='"lid-closed"', until='"2:00"'),
            Interruption(
                at=Span(60_000),
                kind=InterruptionKind.LID_CLOSED,
                says="Well?",
                until=Span(120_000),
            ),
            id="a lid",
        ),
    ],
)
def test_each_kind_of_interruption_is_read(text: str, wanted: Interruption) -> None:
    """A question, a car that leaves, somebody called away, a shut lid."""
    assert read_scenario(FRAME + text, "day.toml").interruptions == (wanted,)


def test_a_lid_that_is_shut_by_an_interruption_stops_the_computer_as_any_lid() -> None:
    """Both are in the order of time, however they are written."""
    found = read_scenario(
        FRAME
        + interruption(kind='"lid-closed"', until='"2:00"')
        + '[[lid]]\nshut = "0:10"\nopen = "0:20"\n',
        "day.toml",
    )

    assert found.naps == (
        Nap(shut=Span(10_000), open=Span(20_000)),
        Nap(shut=Span(60_000), open=Span(120_000)),
    )


@pytest.mark.parametrize(
    ("text", "wanted"),
    [
        pytest.param(
            flaw(kind='"out-of-date"', expires="2026-08-31"),
            Flaw(cartridge="C1", kind=FlawKind.OUT_OF_DATE, expires=date(2026, 8, 31)),
            id="out of date",
        ),
        pytest.param(
            flaw(kind='"wrong-assay"', assay='"another"'),
            Flaw(cartridge="C1", kind=FlawKind.WRONG_ASSAY, assay="another"),
            id="another assay",
        ),
        pytest.param(
            flaw(kind='"label-swapped"', other='"C2"'),
            Flaw(cartridge="C1", kind=FlawKind.LABEL_SWAPPED, other="C2"),
            id="a swapped label",
        ),
    ],
)
def test_each_kind_of_flaw_is_read(text: str, wanted: Flaw) -> None:
    """What can be seen on one device and nowhere else."""
    assert read_scenario(FRAME + text, "day.toml").flaws == (wanted,)


@pytest.mark.parametrize(
    ("written", "wanted"),
    [
        pytest.param('"smear"', Spoilt(start=Span(0), reason=Unreadable.SMEAR), id="all the time"),
        pytest.param(
            '{ from = "2:00", reason = "flooded" }',
            Spoilt(start=Span(120_000), reason=Unreadable.FLOODED),
            id="from some time on",
        ),
    ],
)
def test_a_strip_may_be_spoilt_and_its_line_very_faint(written: str, wanted: Spoilt) -> None:
    """What trains the eye most."""
    text = f'[[cartridge]]\nid = "C1"\n[cartridge.bands]\nunreadable = {written}\n'
    line = 'test = { from = "5:00", strength = "very-faint" }\n'
    shows = read_scenario(FRAME + text + line, "day.toml").cartridges["C1"]

    assert shows.spoilt == wanted
    assert shows.tests[0].strength is Shade.VERY_FAINT


@pytest.mark.parametrize(
    ("more", "fault"),
    [
        pytest.param(
            interruption(kind='"fire"'),
            "interruption.1.kind = 'fire': use 'question', 'car-leaves', 'called-away' or "
            "'lid-closed'",
            id="no such interruption",
        ),
        pytest.param(
            interruption(kind='"question"'),
            'interruption.1: kind = "question" needs answer: add it',
            id="no answer",
        ),
        pytest.param(
            interruption(kind='"question"', answer="[]"),
            "interruption.1.answer = []: write an answer in quotes, or a list of 1 to 20 that are "
            "right",
            id="an empty list of answers",
        ),
        pytest.param(
            interruption(kind='"question"', answer='"yes"', until='"2:00"'),
            'interruption.1: until does not go with kind = "question": take it out',
            id="a key of another kind",
        ),
        pytest.param(
            interruption(kind='"car-leaves"', persons='"P-001"'),
            "interruption.1.persons = 'P-001': write a list of 1 to 200 IDs, as [\"P-001\", "
            '"P-002"]',
            id="a person without a list",
        ),
        pytest.param(
            interruption(kind='"car-leaves"', persons='["P-009"]'),
            "interruption.1.persons: nobody of the scenario is 'P-009': name who comes in it",
            id="a stranger leaves",
        ),
        pytest.param(
            interruption(kind='"car-leaves"', persons='["P-001"]')
            + interruption(kind='"car-leaves"', persons='["P-001"]'),
            "interruption.persons: 'P-001' leaves 2 times: let them leave once",
            id="somebody leaves twice",
        ),
        pytest.param(
            interruption(kind='"called-away"', operator='"op-9"', until='"2:00"'),
            "interruption.1.operator = 'op-9': no operator is called that: name one",
            id="a stranger is called away",
        ),
        pytest.param(
            interruption(kind='"called-away"', operator='"op-1"', until='"0:30"'),
            "interruption.1.until: they are back before they are called: set it later than at",
            id="back too soon",
        ),
        pytest.param(
            interruption(kind='"lid-closed"', until='"1:00"'),
            "interruption.1.until: the lid opens before it is shut: set it later than at",
            id="a lid that opens at once",
        ),
        pytest.param(
            interruption(kind='"lid-closed"', until='"3:00"')
            + '[[lid]]\nshut = "2:00"\nopen = "4:00"\n',
            "lid.1: the lid is shut already then: let one end before the next begins",
            id="two lids at once",
        ),
        pytest.param(
            interruption(kind='"question"', answer='"a"', at='"2:00"')
            + interruption(kind='"question"', answer='"a"'),
            "interruption.2.at: it is earlier than the one before it: put them in the order of time",
            id="out of order",
        ),
        pytest.param(
            flaw(kind='"broken"'),
            "flaw.1.kind = 'broken': use 'out-of-date', 'wrong-assay' or 'label-swapped'",
            id="no such flaw",
        ),
        pytest.param(
            flaw(kind='"label-swapped"'),
            'flaw.1: kind = "label-swapped" needs other: add it',
            id="swapped with nothing",
        ),
        pytest.param(
            flaw(kind='"wrong-assay"', assay='"a"', expires="2026-01-31"),
            'flaw.1: expires does not go with kind = "wrong-assay": take it out',
            id="a key of another flaw",
        ),
        pytest.param(
            flaw(kind='"out-of-date"', expires='"2026-01-31"'),
            "flaw.1.expires = '2026-01-31': write a day as 2026-01-31, without quotes",
            id="a day in quotes",
        ),
        pytest.param(
            flaw(kind='"out-of-date"', expires="2026-11-03"),
            "flaw.1.expires: it is not out of date then: set an earlier day",
            id="good to the end of this day",
        ),
        pytest.param(
            flaw(kind='"label-swapped"', other='"C1"'),
            "flaw: cartridge 'C1' has 2 flaws: leave it one",
            id="swapped with itself",
        ),
        pytest.param(
            '[[act]]\nat = "1:00"\nby = "op-1"\ndo = "answer"\ninterruption = 1\nwords = "yes"\n',
            "act.1.interruption = 1: the scenario has 0: name one of them",
            id="an answer to nothing",
        ),
        pytest.param(
            '[[act]]\nat = "1:00"\nby = "op-1"\ndo = "answer"\ninterruption = 1\n',
            'act.1: do = "answer" needs words: add it',
            id="an answer without words",
        ),
    ],
)
def test_what_is_wrong_is_told_in_one_sentence(more: str, fault: str) -> None:
    """Place, value and cure."""
    assert fault_of(more) == f"day.toml: {fault}"


def test_a_scenario_tells_who_is_away_who_leaves_and_what_is_wrong_with_a_device() -> None:
    """Asked by whoever plays it, and by whoever scores it."""
    found = read_scenario(
        FRAME
        + interruption(kind='"car-leaves"', persons='["P-001"]')
        + interruption(kind='"called-away"', operator='"op-1"', until='"2:00"')
        + flaw(kind='"label-swapped"', other='"C2"'),
        "day.toml",
    )

    assert found.leaves("P-001") == 60_000
    assert found.leaves("P-002") is None
    assert found.away("op-1") == ((60_000, 120_000),)
    assert found.away("op-2") == ()
    assert found.flaw_of("C2") is found.flaw_of("C1") is not None
    assert found.flaw_of("C3") is None
    assert [found.device(each) for each in ("C1", "C2", "C3")] == ["C2", "C1", "C3"]


@pytest.mark.parametrize(
    ("answer", "is_right"),
    [("yes", True), (" YES ", True), ("y es", False), ("yes please", False), ("", False)],
)
def test_an_answer_is_right_whatever_its_case_and_its_blanks(
    answer: str, *, is_right: bool
) -> None:
    """But it has to be the whole answer."""
    found = read_scenario(
        FRAME + interruption(kind='"question"', answer='["no doubt", "Yes"]'), "x"
    )

    assert found.interruptions[0].is_right(answer) is is_right
