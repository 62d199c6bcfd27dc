"""One line of a bay without a screen: read, or refused in one sentence in its own words."""

from __future__ import annotations

import json
from datetime import date
from typing import TYPE_CHECKING, Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from builders import span
from readbell.core.board.entry import Do, Entry
from readbell.core.cartridge.events import SlipReason, TakeBackReason
from readbell.core.instant import Span
from readbell.core.reading.bands import Strength, Unreadable
from readbell.scenarios.line import (
    AdoptionLine,
    BoardLine,
    EntryLine,
    LotLine,
    OpenLotLine,
    OperatorLine,
    PartyLine,
    read_line,
)
from readbell.scenarios.patient_lines import PersonLine
from readbell.toml_tables import WrongFileError

if TYPE_CHECKING:
    from readbell.scenarios.line import Line

STEP = {"do": "step", "by": "op-1", "cartridge": "C1", "step": "buffer"}


def line(**said: Any) -> Line:
    """The line that says so."""
    return read_line(json.dumps(said))


def fault_of(text: str) -> str:
    """What is said of a line that cannot be understood."""
    with pytest.raises(WrongFileError) as refused:
        read_line(text)
    return str(refused.value)


def entry_of(**said: Any) -> EntryLine:
    """The entry that a line makes."""
    found = line(**said)
    assert isinstance(found, EntryLine)
    return found


def test_each_register_has_its_line() -> None:
    """All that a bay needs before its first cartridge can be said in lines."""
    assert line(do="register-operator", id="op-1") == OperatorLine(
        do="register-operator", id="op-1"
    )
    assert line(do="register-person", id="P-1", by="op-1") == PersonLine(
        do="register-person", id="P-1", by="op-1"
    )
    assert line(do="register-party", id="car 1", persons=["P-1", "P-2"], by="op-1") == PartyLine(
        do="register-party", id="car 1", persons=("P-1", "P-2"), by="op-1"
    )
    assert line(do="open-lot", lot="L", by="op-1") == OpenLotLine(do="open-lot", lot="L", by="op-1")
    assert line(do="adopt-assay", assay="a", instructions="v2", by="op-1") == AdoptionLine(
        do="adopt-assay", assay="a", instructions="v2", by="op-1"
    )
    assert line(
        do="receive-lot", number="L", assay="a", expires="2027-01-31", units=5, by="op-1"
    ) == LotLine(
        do="receive-lot", number="L", assay="a", expires=date(2027, 1, 31), units=5, by="op-1"
    )
    assert line(do="board") == BoardLine(do="board")


def test_an_act_is_read_as_in_a_scenario() -> None:
    """What was rehearsed can be said at the bench in the same words."""
    found = entry_of(
        do="read", by="op-1", cartridge="C1", scanned="C1", person="P-1", control=True, test="faint"
    )

    assert (found.entry.do, found.entry.test) == (Do.READ, Strength.FAINT)
    assert (found.entry.scanned, found.entry.person) == ("C1", "P-1")
    assert found.ago is None


def test_several_lines_are_answered_by_name() -> None:
    """Each analyte has an answer of its own."""
    found = entry_of(
        do="read", by="op-1", cartridge="C1", control=True, test={"A": "clear", "B": "absent"}
    )

    assert found.entry.test == (("A", Strength.CLEAR), ("B", Strength.ABSENT))


@pytest.mark.parametrize("reason", list(Unreadable))
def test_a_strip_that_cannot_be_read_has_a_reason(reason: Unreadable) -> None:
    """Smear, flood, damage: coded, so that they can be counted."""
    found = entry_of(do="read", by="op-1", cartridge="C1", unreadable=str(reason))

    assert found.entry.unreadable is reason


@pytest.mark.parametrize("reason", list(TakeBackReason))
def test_a_step_that_was_not_done_is_taken_back_by_its_name_and_for_a_coded_reason(
    reason: TakeBackReason,
) -> None:
    """Which one is meant is said: somebody else may have gone on meanwhile."""
    found = entry_of(
        do="take-back-step", by="op-1", cartridge="C1", step="apply", reason=str(reason)
    )

    assert found == EntryLine(
        entry=Entry(do=Do.TAKE_BACK, by="op-1", cartridge="C1", step="apply", reason=str(reason)),
        ago=None,
    )


@pytest.mark.parametrize(
    ("said", "fault"),
    [
        ({"reason": "not-done"}, 'do = "take-back-step" needs step: add it'),
        ({"step": "apply"}, 'do = "take-back-step" needs reason: add it'),
        (
            {"step": "apply", "reason": "slipped"},
            (
                "that reason does not go with do = \"take-back-step\": use 'pressed-too-early', "
                "'another-cartridge', 'not-done' or 'other'"
            ),
        ),
        (
            {"step": "apply", "reason": "other", "ago": "1:00"},
            'ago does not go with do = "take-back-step": take it out',
        ),
    ],
)
def test_what_is_wrong_with_taking_a_step_back_is_one_clear_sentence(
    said: dict[str, str], fault: str
) -> None:
    """What, where, and what to do."""
    text = json.dumps({"do": "take-back-step", "by": "op-1", "cartridge": "C1", **said})

    assert fault_of(text) == f"this line: {fault}"


def test_a_step_done_before_says_how_long_ago() -> None:
    """At the bench nobody knows seconds after a start; they know "two minutes ago"."""
    found = entry_of(**STEP, ago="2:00", give_or_take=15)

    assert found.ago == span("2:00")
    assert found.entry.give_or_take == span("0:15")


def test_several_steps_are_confirmed_by_one_line() -> None:
    """Whoever wears gloves says once what was done in one go."""
    found = entry_of(
        do="steps",
        by="op-1",
        cartridge="C1",
        steps=["buffer", "collect"],
        scanned="C1",
        person="P-1",
        ago="2:00",
        give_or_take=15,
    )

    assert found == EntryLine(
        entry=Entry(
            do=Do.STEPS,
            by="op-1",
            cartridge="C1",
            steps=("buffer", "collect"),
            scanned="C1",
            person="P-1",
            give_or_take=span("0:15"),
        ),
        ago=span("2:00"),
    )


def test_a_correction_says_what_was_seen_and_which_slip_it_was() -> None:
    """In the words of a reading, with a coded reason."""
    found = entry_of(
        do="correct-reading",
        by="op-1",
        cartridge="C1",
        reason="pressed-wrong-key",
        control=True,
        test={"A": "clear", "B": "absent"},
    )
    smear = entry_of(
        do="correct-reading", by="op-1", cartridge="C1", reason="other", unreadable="smear"
    )
    faint = entry_of(
        do="correct-reading", by="op-1", cartridge="C1", reason="other", control=True, test="faint"
    )

    assert found.entry == Entry(
        do=Do.CORRECT,
        by="op-1",
        cartridge="C1",
        slip=SlipReason.PRESSED_WRONG_KEY,
        control=True,
        test=(("A", Strength.CLEAR), ("B", Strength.ABSENT)),
    )
    assert smear.entry.unreadable is Unreadable.SMEAR
    assert faint.entry.test is Strength.FAINT


@pytest.mark.parametrize(
    ("said", "fault"),
    [
        pytest.param(
            {"do": "steps", "by": "op-1", "cartridge": "C1", "steps": []},
            'steps = []: write a list of 1 to 100, as ["A", "B"]',
            id="no steps",
        ),
        pytest.param(
            {"do": "steps", "by": "op-1", "cartridge": "C1", "steps": "buffer"},
            "steps = 'buffer': write a list of 1 to 100",
            id="steps that are no list",
        ),
        pytest.param(
            {"do": "register-party", "by": "op-1", "id": "car 1", "persons": ["P"] * 101},
            "persons = ['P', 'P', ",
            id="more people than a party has",
        ),
        pytest.param(
            {"do": "register-party", "by": "op-1", "id": "car 1", "persons": ["P-1", " "]},
            "persons.2 = ' ': it has blanks at an end",
            id="a person nobody can see",
        ),
        pytest.param(
            {"do": "correct-reading", "by": "op-1", "cartridge": "C1", "reason": "late"},
            "reason = 'late': use 'pressed-wrong-key', 'took-line-for-another' or 'other'",
            id="a reason that is no slip",
        ),
        pytest.param(
            {"do": "correct-reading", "by": "op-1", "cartridge": "C1"},
            "reason is missing: add it",
            id="no reason",
        ),
    ],
)
def test_what_a_bay_alone_may_be_told_is_checked_as_well(said: dict[str, Any], fault: str) -> None:
    """One sentence, in the words of the line."""
    assert fault_of(json.dumps(said)).startswith(f"this line: {fault}")


def test_the_drops_of_an_unsure_strip_can_be_stated() -> None:
    """With a witness, and how long ago."""
    found = entry_of(do="state-application", by="op-1", cartridge="C1", witness="op-2", ago="9:30")

    assert (found.entry.witness, found.ago) == ("op-2", span("9:30"))


def test_an_ago_left_out_means_now() -> None:
    """Nothing is stated that nobody said."""
    found = entry_of(**STEP)

    assert (found.ago, found.entry.done_at, found.entry.give_or_take) == (None, None, Span(0))


@pytest.mark.parametrize(
    ("text", "fault"),
    [
        pytest.param("nonsense", "this is not JSON: write one object a line", id="no JSON"),
        pytest.param("", "this is not JSON: write one object a line", id="nothing"),
        pytest.param("[1]", 'write one JSON object, as in {"do": "board"}', id="a list"),
        pytest.param("null", 'write one JSON object, as in {"do": "board"}', id="nothing at all"),
        pytest.param('"board"', 'write one JSON object, as in {"do": "board"}', id="a word"),
        pytest.param(
            '{"do": "register-person", "id": "P"}', "by is missing: add it", id="nobody vouches"
        ),
        pytest.param(
            '{"do": "board", "now": 1}',
            "now is not a key this file may have: take it out or mend its name",
            id="an unknown key",
        ),
        pytest.param(
            '{"do": "read", "by": "o", "cartridge": "C", "test": "blue"}',
            "test = 'blue': use 'absent', 'faint' or 'clear'",
            id="a wrong strength",
        ),
        pytest.param(
            '{"do": "step", "by": "o", "cartridge": "C"}',
            'do = "step" needs step: add it',
            id="no step",
        ),
        pytest.param(
            '{"do": "step", "by": "o", "cartridge": "C", "step": "s", "done_at": "1:00"}',
            'done_at is for scenarios: write "ago": "2:00" instead',
            id="a scenario's way to say when",
        ),
        pytest.param(
            '{"do": "step", "by": "o", "cartridge": "C", "step": "s", "ago": 5}',
            'ago = 5: write a time as "15:00", or "0:15:00" with hours',
            id="an ago that is no time",
        ),
        pytest.param(
            '{"do": "read", "by": "o", "cartridge": "C", "ago": "1:00"}',
            'ago does not go with do = "read": take it out',
            id="an ago on a reading",
        ),
        pytest.param(
            '{"do": "state-application", "by": "o", "cartridge": "C", "witness": "w"}',
            'do = "state-application" needs ago: add it',
            id="drops stated without when",
        ),
    ],
)
def test_each_wrong_line_is_answered_in_its_own_words(text: str, fault: str) -> None:
    """The cure names keys that a line really has."""
    assert fault_of(text) == f"this line: {fault}"


@pytest.mark.parametrize(
    "text",
    [
        pytest.param("[" * 100_000, id="lists in lists without end"),
        pytest.param('{"do":' * 50_000, id="objects in objects without end"),
        pytest.param('{"do": "board", "n": ' + "9" * 5_000 + "}", id="a number without end"),
        pytest.param('{"do": "register-operator", "id": "\\ud800"}', id="half a character"),
        pytest.param('{"do": "board", "\\ud800": 1}', id="half a character as a key"),
        pytest.param('{"do": ["board"]}', id="a list of what to do"),
        pytest.param('{"do": {"a": 1}}', id="an object of what to do"),
        pytest.param('{"do": "step", "by": 5, "cartridge": [], "step": {}}', id="wrong types"),
        pytest.param('{"do": "step", "by": "o", "cartridge": "", "step": "s"}', id="an empty name"),
        pytest.param(
            '{"do": "step", "by": "o", "cartridge": "C", "step": "s", "ago": "1:00",'
            ' "give_or_take": NaN}',
            id="a doubt that is no number",
        ),
        pytest.param("\x00", id="a null byte"),
        pytest.param("\ufffd" * 100, id="bytes that were no text"),
    ],
)
def test_a_monstrous_line_is_refused_like_any_other(text: str) -> None:
    """Lines come from scanners and scripts; none may end the bay."""
    assert fault_of(text).startswith("this line: ")


@settings(max_examples=60, deadline=None)
@given(
    found=st.dictionaries(
        st.sampled_from(["do", "by", "cartridge", "step", "ago", "test", "id", "units", "x"]),
        st.none() | st.booleans() | st.integers() | st.text(max_size=8) | st.lists(st.none()),
    )
)
def test_whatever_a_line_holds_it_is_understood_or_refused_in_one_line(
    found: dict[str, Any],
) -> None:
    """There is no third way."""
    said = ["this line: understood"]
    try:
        read_line(json.dumps(found))
    except WrongFileError as refused:
        said = str(refused).splitlines()

    assert len(said) == 1
    assert said[0].startswith("this line: ")
