"""The wall: read from across the room, and by everybody."""

from __future__ import annotations

from dataclasses import replace
from itertools import product
from typing import TYPE_CHECKING

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from builders import (
    CLEAR,
    FAINT,
    NEGATIVE,
    NO_CONTROL,
    SMEAR,
    TODAY,
    Bench,
    at,
    private,
    span,
)
from readbell.core.assay.reading_rules import SecondReader
from readbell.core.board.fold import fold
from readbell.core.board.not_followed import NotFollowed
from readbell.core.cartridge.looks import lapse
from readbell.core.instant import Instant, Span, earlier, later
from readbell.core.people.acts import NoteParticulars
from readbell.core.people.particulars import Particular
from readbell.core.policy.events import PolicySet
from readbell.core.policy.policy import SitePolicy
from readbell.core.policy.second_reading import SecondReaderRule
from readbell.ui.glyphs import ASCII, UNICODE, Glyphs
from readbell.ui.large_digits import large
from readbell.ui.palette import Depth, Ground, style_of
from readbell.ui.wall import _BOARDS, PAGE_FOR, WallBay, page_of, told_of, wall
from ui.busy_board import FACE, NOW, busy_bench

if TYPE_CHECKING:
    from readbell.core.board.board import Board
    from readbell.ui.ink import Line

SIZES = ((80, 24), (120, 40), (200, 60))
SMALL_SIZES = ((20, 8), (36, 12), (60, 16), (79, 23))
SEEN = (CLEAR, FAINT, NEGATIVE, NO_CONTROL, SMEAR)
BUSY = busy_bench().board


def bay(board: Board | None, now: Instant = NOW, **said: object) -> WallBay:
    """One bay as a wall has it."""
    return WallBay(name="bay.journal", board=board, now=now, face=FACE, **said)  # type: ignore[arg-type]


def picture(
    *bays: WallBay, size: tuple[int, int] = (120, 40), glyphs: Glyphs = UNICODE
) -> tuple[Line, ...]:
    """The wall."""
    return wall(bays, *size, glyphs)


def text(lines: tuple[Line, ...]) -> str:
    """It as it is read without colour."""
    return "\n".join(each.text.rstrip() for each in lines)


def stands_large(words: str, lines: tuple[Line, ...], rows: int, glyphs: Glyphs = UNICODE) -> bool:
    """Whether `words` stand there in letters of so many rows."""
    drawn = [each.rstrip() for each in large(words, rows, glyphs)]
    shown = [each.text for each in lines]
    middle = rows // 2
    for top in range(len(shown) - rows + 1):
        column = shown[top + middle].find(drawn[middle])
        while column >= 0:
            if all(shown[top + row].startswith(drawn[row], column) for row in range(rows)):
                return True
            column = shown[top + middle].find(drawn[middle], column + 1)
    return False


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


# Nothing private, and nothing from which a result could be inferred.


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


SEEN_OR_NOT = st.one_of(st.none(), st.sampled_from(SEEN))


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
