"""A wall is seen by everybody: nothing private is on it, and nothing that a result could be told from."""

from __future__ import annotations

from itertools import product
from typing import TYPE_CHECKING

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from builders import CLEAR, FAINT, NEGATIVE, NO_CONTROL, SMEAR, Bench, at
from readbell.core.assay.reading_rules import SecondReader
from readbell.core.board.fold import fold
from readbell.core.cartridge.looks import lapse
from readbell.core.instant import Span, later
from readbell.core.policy.events import PolicySet
from readbell.core.policy.policy import SitePolicy
from readbell.core.policy.second_reading import SecondReaderRule
from readbell.ui.glyphs import ASCII, UNICODE, Glyphs
from readbell.ui.wall import PAGE_FOR, told_of
from ui.busy_board import NOW
from ui.walls import BUSY, SIZES, SMALL_SIZES, bay, picture, stands_large, text

if TYPE_CHECKING:
    from readbell.core.board.board import Board

SEEN = (CLEAR, FAINT, NEGATIVE, NO_CONTROL, SMEAR)


def second_reader(when: SecondReader = SecondReader.FAINT) -> Bench:
    """A bench on which some readings are read twice; C1 and C2 have had their drops."""
    made = Bench()
    policy = SitePolicy(second_reader=(SecondReaderRule(when=when),))
    made.board = fold(made.board, PolicySet(at=at("0:00"), policy=policy))
    made.to_well("C1")
    made.to_well("C2", "P-002")
    return made


@pytest.mark.parametrize("size", [*SIZES, *SMALL_SIZES], ids=str)
@pytest.mark.parametrize("glyphs", [UNICODE, ASCII], ids=["unicode", "ascii"])
def test_whatever_came_of_a_strip_the_picture_is_the_same(
    size: tuple[int, int], glyphs: Glyphs
) -> None:
    """Read with any outcome, lapsed with or without an early positive, or taken back: gone."""
    pictures = set()
    for seen in SEEN:
        made = second_reader(SecondReader.OFF)
        made.must(made.read_act(seen), "18:00")
        pictures.add(picture(bay(made.board, at("19:00")), size=size, glyphs=glyphs))
    voided = second_reader(SecondReader.OFF)
    voided.must(voided.void_act(), "18:00")
    pictures.add(picture(bay(voided.board, at("19:00")), size=size, glyphs=glyphs))
    assert len(pictures) == 1


@pytest.mark.parametrize("size", SIZES, ids=str)
@pytest.mark.parametrize("early", [None, CLEAR, FAINT], ids=["unseen", "clear", "faint"])
def test_a_lapsed_strip_goes_whether_or_not_something_was_seen_early(
    size: tuple[int, int], early: object
) -> None:
    """One came to a positive, the other to nothing."""
    made = second_reader()
    if early is not None:
        made.must(made.look_act(early), "6:00")  # type: ignore[arg-type]
    lapsed = fold(made.board, lapse(made.cartridge(), at("22:30")))
    other = second_reader()
    other.board = fold(other.board, lapse(other.cartridge(), at("22:30")))
    now = at("22:30")
    assert picture(bay(lapsed, now), size=size) == picture(bay(other.board, now), size=size)


@pytest.mark.parametrize("size", [*SIZES, *SMALL_SIZES], ids=str)
@pytest.mark.parametrize("when", ["6:01", "12:00", "18:30", "21:00"])
def test_an_early_positive_and_a_first_reading_leave_the_picture_as_it_was(
    when: str, size: tuple[int, int]
) -> None:
    """Second readers are asked for on faint lines alone here: the word would be the result."""
    unseen = picture(bay(second_reader().board, at(when)), size=size)
    for early, first in product((None, CLEAR, FAINT), (None, FAINT)):
        made = second_reader()
        if early is not None:
            made.must(made.look_act(early), "6:00")
        if first is not None and at(when) > at("18:00"):
            made.must(made.read_act(first), "18:00")
            assert made.cartridge().awaits_second
        assert picture(bay(made.board, at(when)), size=size) == unseen


@settings(deadline=None, max_examples=40)
@given(
    looks=st.lists(st.sampled_from((None, CLEAR, FAINT)), min_size=4, max_size=4),
    readings=st.lists(st.sampled_from(SEEN), min_size=2, max_size=2),
    size=st.sampled_from((*SIZES, *SMALL_SIZES)),
)
def test_two_bays_that_differ_in_results_alone_are_one_picture(
    looks: list[object], readings: list[object], size: tuple[int, int]
) -> None:
    """Two of four strips are read, whatever they show; two still run, whatever was seen early."""

    def played(looks: list[object], readings: list[object]) -> Board:
        made = Bench()
        for number in range(1, 5):
            made.to_well(f"C{number}", f"P-00{1 + number % 2}")
        for number, seen in enumerate(looks, start=1):
            if seen is not None:
                made.must(made.look_act(seen, f"C{number}"), "6:00")  # type: ignore[arg-type]
        for number, seen in enumerate(readings, start=1):
            made.must(made.read_act(seen, f"C{number}"), "18:00")  # type: ignore[arg-type]
        return made.board

    plain = picture(bay(played([None] * 4, [NEGATIVE] * 2), at("18:30")), size=size)
    assert picture(bay(played(looks, readings), at("18:30")), size=size) == plain


@pytest.mark.parametrize("size", [*SIZES, *SMALL_SIZES], ids=str)
@pytest.mark.parametrize("glyphs", [UNICODE, ASCII], ids=["unicode", "ascii"])
def test_nobody_is_named_on_it(size: tuple[int, int], glyphs: Glyphs) -> None:
    """No person, no operator, no lot; and none of the words of a result."""
    for turn in range(19):
        lines = picture(bay(BUSY, later(NOW, Span(turn * PAGE_FOR))), size=size, glyphs=glyphs)
        shown = text(lines).casefold()
        for word in ("p-0", "op-1", "l-100", "e+", "positive", "negative", "invalid", "repeat"):
            assert word not in shown
        for person in BUSY.persons:
            assert not stands_large(person, lines, 3, glyphs)


def test_what_is_told_of_a_cartridge_holds_nothing_else() -> None:
    """What a wall never had it cannot show."""
    told = told_of(BUSY, NOW)
    assert set(told[0].__slots__) == {"label", "place", "stands"}
    assert {each.label for each in told} <= {each.label for each in BUSY.running.values()}
