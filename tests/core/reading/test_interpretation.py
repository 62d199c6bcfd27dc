"""From bands to outcome: the rules by which a strip is judged."""

from __future__ import annotations

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from builders import bands
from readbell.core.reading.bands import Bands, LineSeen, Strength, Unreadable
from readbell.core.reading.interpretation import (
    LineOutcome,
    Outcome,
    judge_read_once,
    judge_two,
    judge_unread,
    judge_window,
    lines_shown,
    overall,
    strip_ran,
    withhold,
)

LINES = ("a", "b", "c")
SMEARED = Bands(unreadable=Unreadable.BACKGROUND)

STRIPS = st.builds(
    lambda control, strengths: Bands(
        control=control,
        lines=tuple(
            LineSeen(line=line, strength=strength)
            for line, strength in zip(LINES, strengths, strict=True)
        ),
    ),
    st.booleans(),
    st.tuples(*[st.sampled_from(Strength)] * 3),
) | st.builds(Bands, unreadable=st.sampled_from(Unreadable))
EARLY = st.lists(st.sampled_from(LINES), unique=True).map(tuple)


def judged(seen: Bands, *early: str) -> list[str]:
    """The outcome of each line of a window reading, in the device's order."""
    return [str(each.outcome) for each in judge_window(LINES, seen, early)]


# The rows of the reading rules that a window reading can give (common practice).
@pytest.mark.parametrize(
    ("seen", "early", "outcomes"),
    [
        pytest.param(
            bands(a="clear", b="faint", c="absent"),
            (),
            ["positive", "positive", "negative"],
            id="control line there: each line for itself, however faint",
        ),
        pytest.param(
            bands(control=False, a="clear", b="absent", c="absent"),
            (),
            ["invalid", "invalid", "invalid"],
            id="control line absent, whatever the test lines show",
        ),
        pytest.param(SMEARED, (), ["invalid", "invalid", "invalid"], id="unreadable"),
        pytest.param(
            bands(a="clear", b="absent", c="absent"),
            ("a",),
            ["positive", "negative", "negative"],
            id="an early positive that is still there",
        ),
        pytest.param(
            bands(a="absent", b="clear", c="absent"),
            ("a",),
            ["withheld", "positive", "negative"],
            id="an early positive that is gone",
        ),
        pytest.param(
            bands(control=False, a="clear", b="clear", c="absent"),
            ("a",),
            ["withheld", "invalid", "invalid"],
            id="an early positive, and then no control line",
        ),
        pytest.param(
            SMEARED, ("b",), ["invalid", "withheld", "invalid"], id="an early positive, smeared"
        ),
    ],
)
def test_a_window_reading_is_judged_line_by_line(
    seen: Bands, early: tuple[str, ...], outcomes: list[str]
) -> None:
    """No line borrows its outcome from another, and no contradiction is settled by choice."""
    assert judged(seen, *early) == outcomes


def test_what_two_readers_do_not_agree_on_is_withheld_line_by_line() -> None:
    """What both saw alike stands, whatever became of the line beside it."""
    first = judge_window(LINES, bands(a="clear", b="faint", c="absent"), ())
    second = judge_window(LINES, bands(a="faint", b="absent", c="absent"), ())

    assert judge_two(first, second) == (
        LineOutcome(line="a", outcome=Outcome.POSITIVE),
        LineOutcome(line="b", outcome=Outcome.WITHHELD),
        LineOutcome(line="c", outcome=Outcome.NEGATIVE),
    )


def test_two_readings_of_unlike_devices_are_never_held_against_each_other() -> None:
    """A line that only one of them has would be passed over in silence."""
    whole = judge_window(LINES, bands(a="clear", b="absent", c="absent"), ())

    with pytest.raises(ValueError, match="shorter"):
        judge_two(whole, whole[:2])


def test_a_strip_that_no_second_reader_came_to_is_withheld_on_each_of_its_lines() -> None:
    """The first reading alone says nothing; and nothing is told of what two sides say of one strip."""
    withheld = tuple(LineOutcome(line=line, outcome=Outcome.WITHHELD) for line in LINES)
    read = judge_window(LINES, bands(a="clear", b="absent", c="absent"), ())

    assert judge_read_once(LINES) == withheld
    assert withhold(read) == withheld


def test_unread_lines_are_invalid_unless_an_early_positive_stands() -> None:
    """A valid positive was seen in time; the lines nobody settled cannot be known any more."""
    outcomes = judge_unread(LINES, ("b",))

    assert [(each.line, str(each.outcome)) for each in outcomes] == [
        ("a", "invalid"),
        ("b", "positive"),
        ("c", "invalid"),
    ]


@pytest.mark.parametrize(
    ("found", "outcome"),
    [
        pytest.param("positive withheld invalid", "withheld", id="one line withheld"),
        pytest.param("negative positive invalid", "positive", id="one line positive"),
        pytest.param("negative invalid negative", "invalid", id="one line invalid"),
        pytest.param("negative negative negative", "negative", id="every line negative"),
    ],
)
def test_the_gravest_doubt_names_the_cartridge(found: str, outcome: str) -> None:
    """Withheld goes before positive, positive before invalid; negative needs every line."""
    outcomes = [
        LineOutcome(line=line, outcome=Outcome(each))
        for line, each in zip(LINES, found.split(), strict=True)
    ]

    assert overall(outcomes) is Outcome(outcome)


@pytest.mark.parametrize(
    ("seen", "shown"),
    [
        pytest.param(bands(c="clear", a="faint", b="absent"), ("a", "c"), id="those that show"),
        pytest.param(bands(a="absent", b="absent", c="absent"), (), id="none shows"),
        pytest.param(bands(control=False, a="clear"), (), id="no control line yet"),
        pytest.param(SMEARED, (), id="unreadable"),
    ],
)
def test_an_early_look_settles_only_lines_that_show(seen: Bands, shown: tuple[str, ...]) -> None:
    """A line that is absent early may still come; without a control line nothing counts."""
    assert lines_shown(LINES, seen) == shown


@settings(deadline=None, max_examples=200)
@given(seen=STRIPS, early=EARLY)
def test_no_negative_comes_of_a_strip_that_did_not_run(seen: Bands, early: tuple[str, ...]) -> None:
    """The control line alone proves that the strip could have shown anything."""
    found = {each.outcome for each in judge_window(LINES, seen, early)}

    assert strip_ran(seen) or found <= {Outcome.INVALID, Outcome.WITHHELD}


@settings(deadline=None, max_examples=200)
@given(seen=STRIPS, early=EARLY)
def test_what_was_accepted_early_is_confirmed_or_withheld(
    seen: Bands, early: tuple[str, ...]
) -> None:
    """A positive that was seen never turns quietly into a negative or an invalid."""
    for each in judge_window(LINES, seen, early):
        if each.line in early:
            assert each.outcome in {Outcome.POSITIVE, Outcome.WITHHELD}
        else:
            assert each.outcome is not Outcome.WITHHELD


@settings(deadline=None, max_examples=100)
@given(seen=STRIPS, early=EARLY)
def test_faint_means_the_same_as_clear(seen: Bands, early: tuple[str, ...]) -> None:
    """Two readers who differ only in how strong a line is give one result."""
    clear = Bands(
        control=seen.control,
        unreadable=seen.unreadable,
        lines=tuple(
            LineSeen(
                line=each.line,
                strength=Strength.CLEAR if each.strength is Strength.FAINT else each.strength,
            )
            for each in seen.lines
        ),
    )

    assert judge_window(LINES, seen, early) == judge_window(LINES, clear, early)
