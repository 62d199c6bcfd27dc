"""The wall: read from across the room; what calls is in sight, and what is not followed says so."""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING

import pytest
from hypothesis import given
from hypothesis import strategies as st

from builders import TODAY, Bench, at, private, span
from readbell.core.board.not_followed import NotFollowed
from readbell.core.instant import Instant, Span, earlier, later
from readbell.core.people.acts import NoteParticulars
from readbell.core.people.particulars import Particular
from readbell.ui.glyphs import ASCII, UNICODE, Glyphs
from readbell.ui.palette import Depth, Ground, style_of
from readbell.ui.wall import _BOARDS, PAGE_FOR, page_of, told_of
from ui.busy_board import NOW
from ui.walls import BUSY, SIZES, SMALL_SIZES, bay, picture, stands_large, text

if TYPE_CHECKING:
    from readbell.core.board.board import Board


def crowd(applied: int, *, labelled: int = 0) -> Board:
    """A bench with so many in their window, and so many that nobody has begun."""
    made = Bench(units=None)
    for number in range(1, applied + labelled + 1):
        label = f"C{number:02}"
        made.must(made.label_act(label, "P-001"))
        if number <= applied:
            for step in ("buffer", "collect", "extract"):
                made.step(step, "0:00", label)
            made.step("withdraw", "1:00", label)
            made.step("apply", "2:30", label)
    return made.board


# Which, in which order, and on which page.


def test_what_calls_stands_first_then_what_is_lost_first() -> None:
    """Whoever looks up has to see it at once."""
    labels = [each.label for each in told_of(BUSY, NOW)]
    assert labels[:5] == ["C03", "C22", "C04", "C05", "C06"]
    assert labels[-1] == "C25"
    assert "C01" not in labels


@pytest.mark.parametrize("size", SIZES, ids=str)
@pytest.mark.parametrize("glyphs", [UNICODE, ASCII], ids=["unicode", "ascii"])
def test_what_calls_is_on_every_page(size: tuple[int, int], glyphs: Glyphs) -> None:
    """Large, or named in the last row where more call than have room."""
    board, now = crowd(30, labelled=10), at("18:30")
    calling = [each.label for each in told_of(board, now) if each.calls]
    assert len(calling) == 30
    for turn in range(4):
        when = later(now, Span(turn * PAGE_FOR))
        lines = picture(bay(board, when), size=size, glyphs=glyphs)
        last = lines[-1].text
        for label in calling:
            assert label in last or stands_large(label, lines, 3, glyphs) or "more" in last


@given(calls=st.integers(0, 40), others=st.integers(0, 40), most=st.integers(1, 30))
def test_each_cartridge_is_on_some_page_and_what_calls_goes_first(
    calls: int, others: int, most: int
) -> None:
    """Nothing is ever out of sight for good."""
    board_calls = told_of(crowd_of(calls), at("18:30"))
    rest = told_of(labelled_of(others), at("18:30"))
    told = [*board_calls, *(replace(each, label=f"L{each.label}") for each in rest)]
    pages = page_of(told, most, Instant(0)).pages
    seen = set()
    for turn in range(pages):
        page = page_of(told, most, Instant(turn * PAGE_FOR))
        assert (page.number, page.pages) == (turn + 1, pages)
        assert len(page.shown) <= most
        assert page == page_of(told, most, Instant((turn + 1) * PAGE_FOR - 1))
        seen |= {each.label for each in page.shown}
        if calls < most - max(1, most // 3):
            assert {each.label for each in board_calls} <= {each.label for each in page.shown}
    assert seen == {each.label for each in told}


_CROWDS: dict[tuple[int, int], Board] = {}


def crowd_of(number: int) -> Board:
    """So many in their window; made once."""
    return _CROWDS.setdefault((number, 0), crowd(number))


def labelled_of(number: int) -> Board:
    """So many that nobody has begun; made once."""
    return _CROWDS.setdefault((0, number), crowd(0, labelled=number))


def test_an_order_changes_only_by_acts_and_calls() -> None:
    """Eyes that look up again find a cartridge where it was."""
    before = [each.label for each in told_of(BUSY, NOW)]
    after = [each.label for each in told_of(BUSY, later(NOW, Span(20_000)))]
    assert before == after


# Legible from three metres.


@pytest.mark.parametrize(("size", "rows"), [((80, 24), 3), ((120, 40), 3), ((200, 60), 3)])
@pytest.mark.parametrize("glyphs", [UNICODE, ASCII], ids=["unicode", "ascii"])
def test_cartridge_and_countdown_are_large(
    size: tuple[int, int], rows: int, glyphs: Glyphs
) -> None:
    """Whoever stands at the window reads them without walking over."""
    lines = picture(bay(BUSY), size=size, glyphs=glyphs)
    assert stands_large("C03", lines, rows, glyphs)
    assert stands_large("1:10", lines, rows, glyphs)
    if size[1] > 30:
        assert stands_large("CLOSING", lines, rows, glyphs)
    else:
        assert "CLOSING" in text(lines)


def test_few_are_drawn_as_large_as_they_have_room_for() -> None:
    """A wall with three cartridges on it is read from seven metres."""
    lines = picture(bay(crowd(3), at("18:30")), size=(200, 60))
    assert stands_large("C01", lines, 7)
    assert stands_large("READ NOW", lines, 7)
    assert stands_large("4:00", lines, 7)


@pytest.mark.parametrize("size", SIZES, ids=str)
def test_every_state_is_told_by_its_letters_alone(size: tuple[int, int]) -> None:
    """Colour is the third sign, after word and place."""
    shown = {}
    for word, board, now in (
        ("labelled", crowd(0, labelled=1), at("1:00")),
        ("opens in", crowd(1), at("5:00")),
        ("READ NOW", crowd(1), at("18:00")),
        ("CLOSING", crowd(1), at("21:00")),
    ):
        lines = picture(bay(board, now), size=size)
        shown[word] = text(lines)
        tokens = {piece.token for each in lines for piece in each.pieces}
        plain = {style_of(each, ground=Ground.DARK, depth=Depth.NONE) for each in tokens}
        assert all(each.color is None for each in plain)
    assert len(set(shown.values())) == len(shown)


def test_a_long_label_and_a_long_place_are_told_apart_and_cut_nothing_else() -> None:
    """Labels of a barcode and the site's own words may be of any length."""
    made = Bench()
    for label in ("2390417725", "2390417726"):
        act = made.label_act(label)
        made.must(replace(act, place=private("the long shelf behind the door")))
    for size in (*SIZES, *SMALL_SIZES):
        lines = picture(bay(made.board, at("1:00")), size=size)
        assert all(each.width == size[0] for each in lines)
        labels = [each.label for each in told_of(made.board, at("1:00"))]
        assert len(set(labels)) == 2


# Several bays, and whether they are followed.


@pytest.mark.parametrize("size", [*SIZES, *SMALL_SIZES], ids=str)
@pytest.mark.parametrize("bays", [1, 2, 3])
def test_each_bay_has_a_band_and_the_picture_fits(size: tuple[int, int], bays: int) -> None:
    """A supervisor watches three at once."""
    shown = [bay(BUSY) for _ in range(bays)]
    shown[-1] = bay(BUSY, trouble=NotFollowed.PROGRAM_GONE, since=earlier(NOW, span("4:05")))
    lines = picture(*shown, size=size)
    assert len(lines) == size[1]
    assert all(each.width == size[0] for each in lines)


@pytest.mark.parametrize("size", SIZES, ids=str)
@pytest.mark.parametrize("trouble", NotFollowed)
def test_what_is_not_followed_says_so_and_since_when(
    size: tuple[int, int], trouble: NotFollowed
) -> None:
    """A picture that stands still must never look like one that lives."""
    gone = bay(BUSY, trouble=trouble, since=earlier(NOW, span("4:05")))
    lines = picture(bay(BUSY), gone, size=size)
    large_one = stands_large("NOT FOLLOWED +4:05", lines, 3)
    assert large_one or "NOT FOLLOWED +4:05" in text(lines)
    well = picture(bay(BUSY), bay(BUSY), size=size)
    assert "NOT FOLLOWED" not in text(well)
    assert "NOT FOLLOWED" not in text(picture(bay(BUSY), size=size))


def test_the_reason_is_told_where_there_is_room() -> None:
    """So that somebody knows what to look after."""
    gone = bay(BUSY, trouble=NotFollowed.FILE_GONE, since=earlier(NOW, span("4:05")))
    assert "its file is gone" in text(picture(gone, size=(120, 40)))
    assert "Since 01:29:15" in text(picture(gone, size=(120, 40)))
    assert "since 01:29:15" in text(picture(gone, size=(120, 24)))


def test_before_anything_was_read_it_says_so_or_why_not() -> None:
    """An empty wall would say that nothing runs."""
    assert "READ" in text(picture(bay(None), size=(30, 10))).upper()
    gone = bay(None, trouble=NotFollowed.UNREADABLE)
    assert "NOT FOLLOWED: its record cannot be read." in text(picture(gone, size=(80, 10)))
    for large_size in SIZES:
        assert "NOTHING RUNS" not in text(picture(gone, size=large_size))


def test_that_the_countdowns_go_on_is_said_only_where_some_stand() -> None:
    """Under a bay that was never read there is nothing that counts on."""
    since = earlier(NOW, span("4:05"))
    gone = bay(BUSY, trouble=NotFollowed.FILE_GONE, since=since)
    assert "counts on" in text(picture(gone, size=(200, 60)))
    never = text(picture(replace(gone, board=None), size=(200, 60)))
    assert "its file is gone." in never
    assert "counts on" not in never


def test_what_is_kept_of_a_board_is_never_shown_of_another() -> None:
    """A place says nothing of a person until it is noted that somebody is called so."""
    made = Bench()
    made.must(replace(made.label_act(), place=private("SHELF")))
    before = bay(made.board, at("1:00"))
    name = (Particular.NAME, private("Shelf"))
    made.must(NoteParticulars(by="op-1", person="P-001", particulars=(name,), today=TODAY))
    after = bay(made.board, at("1:00"))
    size = (36, 12)  # in letters of one row
    for _ in range(2):  # as it is made, and as it is kept
        assert "SHELF" in text(picture(before, size=size))
        assert "SHELF" in text(picture(before, after, size=size))
        assert "SHELF" not in text(picture(after, size=size))


def test_from_one_second_to_the_next_names_are_not_worked_out_anew() -> None:
    """And of a board that is painted no more nothing is kept: who was on it may be erased since."""
    picture(bay(BUSY), bay(None))
    (kept,) = _BOARDS._kept.values()
    assert kept._of
    picture(bay(BUSY, later(NOW, Span(1_000))))
    assert [*_BOARDS._kept.values()] == [kept]
    picture(bay(replace(BUSY)))
    assert kept not in _BOARDS._kept.values()


def test_where_nothing_runs_it_says_so() -> None:
    """And does not look broken."""
    lines = picture(bay(Bench().board, at("1:00")), size=(120, 40))
    assert any(stands_large("NOTHING RUNS", lines, rows) for rows in (3, 5, 7))


def test_a_rehearsal_never_passes_for_work() -> None:
    """Its bays are made up."""
    for size in SIZES:
        assert "REHEARSAL" in text(picture(bay(BUSY), size=size))
