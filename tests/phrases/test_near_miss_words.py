"""A near miss told afterwards is words: what was tried, why it was refused, what was given."""

from __future__ import annotations

import json
from datetime import UTC
from typing import Any

import pytest
from hypothesis import example, given, settings
from hypothesis import strategies as st

from builders import NASAL, NEGATIVE, Bench, private
from readbell.bay.near_miss import TRIED, near_miss
from readbell.core.board.acts import NAMES, Act
from readbell.core.board.events import ActRefused
from readbell.core.cartridge.acts import DoSteps
from readbell.core.instant import Instant, later
from readbell.core.private import Private
from readbell.core.refusal import Refusal, RefusalCode
from readbell.core.span_text import read_span
from readbell.core.staff.acts import GiveRoles
from readbell.core.staff.roles import Role
from readbell.phrases.clock_time import ClockFace
from readbell.phrases.near_miss_words import ERASED, TO, WHY, say_given, say_near_miss
from readbell.phrases.trace_words import story_line

FACE = ClockFace(zone=UTC)
ANYTHING = st.recursive(
    st.none() | st.booleans() | st.integers() | st.text(max_size=5),
    lambda inner: st.lists(inner, max_size=3) | st.dictionaries(st.text(max_size=3), inner),
    max_leaves=4,
)


def missed(**given: Any) -> ActRefused:
    """A near miss of a label that nobody bears, with what was given."""
    return with_entered(private(json.dumps(given)))


def with_entered(entered: Private | None) -> ActRefused:
    """The same, with what is kept of it as it stands in a record."""
    return ActRefused(
        at=Instant(0),
        by=None,
        act="read",
        code=RefusalCode.TOO_EARLY,
        cartridge=None,
        entered=entered,
        bands=None,
    )


@pytest.fixture
def bench() -> Bench:
    """One cartridge with its drops on the well."""
    bench = Bench()
    bench.to_well("C1", "P-001")
    return bench


def told(bench: Bench, act: Act, code: RefusalCode) -> str:
    """Return the line of the story for `act`, refused with `code`."""
    event = near_miss(bench.board, act, Refusal(code=code), Instant(0), private)
    return story_line(event, bench.board, FACE)


def test_whatever_can_be_refused_for_whatever_reason_has_words() -> None:
    """A code that comes later is missed here, and not by whoever reads a trace."""
    assert set(TO) == set(NAMES.values())
    assert set(WHY) == set(RefusalCode)
    for words in (*TO.values(), *WHY.values()):
        assert "  " not in words
        assert not words.endswith(".")


def test_a_reading_with_another_strip_says_which_was_scanned_and_what_was_seen(
    bench: Bench,
) -> None:
    """The mismatch is the story; who tried it stands behind, as in each other line."""
    act = bench.read_act(NEGATIVE, "C1", scanned="C2", person="P-001")
    assert told(bench, act, RefusalCode.WRONG_CARTRIDGE) == (
        "1970-01-01 00:00:00+00:00  C1  near miss: tried to read it, refused: another cartridge was "
        f"scanned. Seen: control line present, {NASAL.reading.lines[0].name} absent. "
        "Given: scanned C2, person P-001.  [op-1]"
    )


def test_steps_are_called_as_the_assay_calls_them_and_times_as_a_clock_does(bench: Bench) -> None:
    """Neither keys nor milliseconds are read by anybody."""
    twenty = read_span("0:20")
    assert twenty is not None
    act = DoSteps(
        aim=bench.aim("C1"),
        steps=("buffer", "collect", "gone"),
        new_specimen="",
        done_at=later(Instant(0), twenty),
        give_or_take=twenty,
    )
    said = told(bench, act, RefusalCode.OUT_OF_ORDER)
    titles = [step.title for step in NASAL.steps if step.key in ("buffer", "collect")]
    assert "tried to confirm several steps together, refused: that was not its turn." in said
    assert f"steps {' and '.join(titles)} and gone, done at 00:00:20, give or take 0:20." in said


def test_what_is_of_no_cartridge_begins_with_the_near_miss(bench: Bench) -> None:
    """Roles, lots and the like."""
    act = GiveRoles(by="nobody", operator="op-1", roles=(Role.TESTER, Role.READER))
    said = told(bench, act, RefusalCode.UNKNOWN_OPERATOR)
    assert said == (
        "1970-01-01 00:00:00+00:00  Near miss: tried to give roles, refused: no such operator was "
        "registered here. Given: by nobody, roles tester, reader, operator op-1."
    )


def test_a_label_that_nobody_here_bears_stands_before_it_all_the_same(bench: Bench) -> None:
    """It is what was in somebody's hand."""
    event = missed(cartridge="C9", person=None, lot="L-9")
    assert say_near_miss(event, bench.board).startswith("C9  near miss: tried to read it")
    assert say_given(event, bench.board, FACE) == "Given: lot L-9."


def test_what_is_erased_is_said_to_be_and_nothing_given_is_nothing(bench: Bench) -> None:
    """An empty place would pass for nothing given."""
    gone = with_entered(Private(key="k", salt="", value=None))
    assert say_near_miss(gone, bench.board).startswith("Near miss: tried to read it")
    assert say_given(gone, bench.board, FACE) == ERASED
    assert say_given(with_entered(None), bench.board, FACE) == ""
    assert say_given(missed(), bench.board, FACE) == ""
    for text in ("no JSON", '["by"]'):
        assert say_given(with_entered(private(text)), bench.board, FACE) == f"Given: {text}."


@settings(deadline=None)
@example({"done_at": 10**30})
@given(st.dictionaries(st.sampled_from(("by", "scanned", "second", *TRIED)), ANYTHING))
def test_whatever_an_older_program_kept_is_told_and_never_fails(given: dict[str, Any]) -> None:
    """A trace that stops at one line hides all that comes after it."""
    board = Bench().board
    event = missed(**given)
    assert say_near_miss(event, board)
    said = say_given(event, board, FACE)
    assert said == "" or (said.startswith("Given: ") and said.endswith("."))


def test_an_act_of_a_program_that_is_newer_is_named_by_its_code(bench: Bench) -> None:
    """Better a code than nothing."""
    event = ActRefused(
        at=Instant(0),
        by=None,
        act="turn-over",
        code=RefusalCode.NOT_ALLOWED,
        cartridge=None,
        entered=None,
        bands=None,
    )
    assert "tried the act turn-over, refused" in say_near_miss(event, bench.board)
