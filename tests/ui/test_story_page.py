"""The story of one cartridge on the screen: whole, turned over where it is long, hidden when left."""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING

import pytest

from builders import NEGATIVE, Bench, at
from readbell.core.instant import Span
from readbell.hand.doing import Following, Watching
from readbell.hand.given import Key, Pressed
from readbell.ui.story_page import HIDDEN, story_page
from ui.pages import SIZES, SMALL_SIZES, painted, present, text

if TYPE_CHECKING:
    from readbell.core.board.board import Board


def board() -> Board:
    """Return a board with one cartridge that was read."""
    bench = Bench()
    bench.to_well()
    bench.must(bench.read_act(NEGATIVE), "18:00")
    return bench.board


@pytest.mark.parametrize("size", SIZES)
def test_the_whole_story_stands_on_the_page(size: tuple[int, int]) -> None:
    """On a narrow one lines are wrapped, and nothing is cut."""
    page = text(painted(present(board(), Following(cartridge="id-C1"), now=at("20:00")), *size))
    flat = " ".join(page.split())
    assert "C1: the whole story" in flat
    assert "C1 labelled for P-001 from lot L-100. [op-1]" in flat
    assert "read: - NEGATIVE. A negative does not exclude infection." in flat
    assert "one story" in page.splitlines()[0]
    assert "Esc Back" in page


@pytest.mark.parametrize("size", SMALL_SIZES)
def test_what_has_no_room_is_turned_over(size: tuple[int, int]) -> None:
    """After the last page comes the first again."""
    width, height = size
    scene = present(board(), now=at("20:00")).scene
    doing, seen = Following(cartridge="id-C1"), []
    for page in range(60):
        lines = story_page(replace(doing, page=page), scene, width, height, masked=False)
        assert len(lines) <= height
        seen += [each.text.strip() for each in lines[1:-1]]
    flat = "".join("".join(seen).split())
    assert "labelledforP-001" in flat
    assert "AnegativedoesnotexcludeinfectionSeen".replace("infection", "infection.") in flat


def test_nobody_being_there_it_names_nobody() -> None:
    """As every page."""
    away = present(board(), Following(cartridge="id-C1"), now=at("20:00"), idle=Span(11 * 60_000))
    page = text(painted(away, 120, 40))
    assert HIDDEN in page
    assert "P-001" not in page


def test_one_that_is_not_there_has_no_page() -> None:
    """Nothing is made up."""
    scene = present(board(), now=at("20:00")).scene
    assert story_page(Following(cartridge="none"), scene, 80, 20, masked=False) == ()


def test_on_an_opened_cartridge_the_keys_say_how_to_get_there() -> None:
    """And a click does the same."""
    opened = painted(
        present(board(), Watching(), chosen="id-C1", opened=True, now=at("20:00")), 160, 40
    )
    foot = text(opened).splitlines()[-1]
    assert "Right Story" in foot
    assert opened.given_at(foot.index("Story"), 39) == Pressed(Key.RIGHT)


def test_the_story_of_several_stands_under_what_it_is_of() -> None:
    """A person's ID goes with the rest when nobody is there."""
    doing = Following(of="P-001", told=("C1  labelled for P-001.", "C2  labelled."))
    page = text(painted(present(board(), doing, now=at("20:00")), 80, 24))
    assert "P-001: the whole story" in page
    assert "C2  labelled." in page
    away = text(painted(present(board(), doing, now=at("20:00"), idle=Span(11 * 60_000)), 80, 24))
    assert "The whole story" in away
    assert "P-001" not in away
