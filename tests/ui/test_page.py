"""The whole screen, in every state and size: nothing overlaps, and what matters is always there."""

from __future__ import annotations

from dataclasses import replace

import pytest

from builders import FAINT, THREE_LINES, Bench, at, private, span
from readbell.core.board.acts import RegisterParty
from readbell.core.board.sound import LateScreen, Sounding
from readbell.core.cartridge.events import How
from readbell.core.instant import Span, earlier
from readbell.hand.doing import (
    Doing,
    Filling,
    Gathering,
    Helping,
    Judging,
    Labelling,
    Paper,
    Purpose,
    Stepping,
    TakingBack,
    Voiding,
    Watching,
)
from readbell.hand.given import Chose, Key, PointedAt, Pressed
from readbell.hand.hand import Said
from readbell.journal.keeper import NotSaved
from readbell.ui.glyphs import ASCII
from readbell.ui.look import Look
from readbell.ui.page import compose
from ui.busy_board import NOW, busy_bench
from ui.pages import (
    EVERY,
    LOOK,
    READING,
    SIZES,
    SMALL_SIZES,
    STEPPING,
    one_strip,
    painted,
    present,
    row_with,
    text,
)

BOARD = busy_bench().board
THREE = one_strip(THREE_LINES).board
LONG = Said(
    "P-0999 looks like another person's ID. If it is the label on the cartridge, scan it once "
    "more; a new person begins with F2 after Esc.",
    fine=False,
)


@pytest.mark.parametrize("size", [*SIZES, *SMALL_SIZES, (34, 10), (150, 30), (20, 60)])
@pytest.mark.parametrize("doing", EVERY)
@pytest.mark.parametrize("said", [None, LONG], ids=["quiet", "said"])
def test_every_page_has_its_size_the_scan_line_and_its_most_needed_key(
    doing: Doing, size: tuple[int, int], said: Said | None
) -> None:
    """At any size the scanner has its home, and whoever is in the middle of something a way on."""
    now = present(BOARD, doing, said=said, chosen="id-C09", opened=True, heard="id-C03")
    for look in (LOOK, Look(glyphs=ASCII)):
        page = painted(now, *size, look)
        assert len(page.lines) == size[1]
        assert {each.width for each in page.lines} == {size[0]}
        assert page.lines[-2].text.startswith(" Scan ")
        assert page.places[0].row == size[1] - 1
        assert isinstance(page.places[0].gives, Pressed)


@pytest.mark.parametrize("size", SIZES)
@pytest.mark.parametrize("doing", EVERY)
def test_what_was_said_is_whole_at_usual_sizes(doing: Doing, size: tuple[int, int]) -> None:
    """A refusal whose end is covered says what is wrong, and not what to do."""
    page = " ".join(text(painted(present(BOARD, doing, said=LONG), *size)).split())

    assert LONG.words in page
    assert " no P-0999 looks" in page


def test_what_has_no_room_ends_in_dots() -> None:
    """On the least screens too one sees that there is more."""
    page = painted(present(BOARD, said=LONG), 20, 8)

    assert page.lines[row_with(page, " no ") + 1].text.rstrip().endswith("..")


@pytest.mark.parametrize("size", [*SIZES, (60, 16), (36, 12)])
def test_an_answer_covers_no_row_of_the_list(size: tuple[int, int]) -> None:
    """The last row tells how many are out of sight; it moves up with the answer."""
    for doing in (Watching(), STEPPING):
        page = painted(present(BOARD, doing, said=LONG), *size)
        if size[1] > 16 and len(BOARD.running) > page.list_rows:
            assert "more below" in text(page)


def test_nothing_that_is_clicked_lies_outside_the_screen() -> None:
    """Or on another thing that is clicked."""
    for size in (*SIZES, *SMALL_SIZES):
        for doing in EVERY:
            page = painted(present(BOARD, doing, heard="id-C03"), *size)
            taken: set[tuple[int, int]] = set()
            for place in page.places:
                cells = {(place.row, column) for column in range(place.begins, place.ends)}
                assert 0 <= place.row < size[1]
                assert not cells & taken, (doing, size, place)
                taken |= cells


def test_a_click_chooses_a_row_an_option_or_a_key() -> None:
    """And on nothing it does nothing."""
    board = painted(present(BOARD), 120, 40)
    assert board.given_at(30, row_with(board, "C09")) == PointedAt("id-C09")
    assert board.given_at(1, 39) == Pressed(Key.START)
    assert board.given_at(60, 0) is None

    form = painted(present(BOARD, READING), 120, 40)
    row = row_with(form, "Test line T")
    assert form.given_at(form.lines[row].text.index("faint"), row) == Chose("sars-cov-2", "faint")
    assert form.given_at(form.lines[row].text.index("absent"), row) == Chose("sars-cov-2", "absent")


@pytest.mark.parametrize("width", [80, 150, 200])
def test_a_click_on_a_panel_never_reaches_the_row_under_it(width: int) -> None:
    """Beside the list or below it."""
    page = painted(present(BOARD, STEPPING), width, 40)
    row = row_with(page, "Take the swab")
    column = page.lines[row].text.index("Take the swab")

    assert not isinstance(page.given_at(column, row), PointedAt)
    options = [place for place in page.places if isinstance(place.gives, Chose)]
    assert options
    assert page.lines[options[0].row].text[options[0].begins :].strip()


# What must be told.


def test_what_is_not_saved_fills_a_row_on_every_page() -> None:
    """It cannot be put away."""
    lost = NotSaved(why="Disk full", continuation=None)
    for doing in EVERY:
        now = present(BOARD, doing, not_saved=lost, not_saved_since=earlier(NOW, span("1:00")))
        for size in SIZES:
            assert "NOT SAVED since" in text(painted(now, *size))


def test_a_sound_that_fails_a_late_screen_and_a_notice_are_told() -> None:
    """Each where it is seen from every page."""
    silent = Sounding(can_sound=False)
    late = Sounding(can_sound=True, late_screen=LateScreen(back_at=NOW, span=Span(6000)))

    assert "NO SOUND" in text(painted(present(BOARD, sounding=silent), 120, 40))
    assert "SCREEN LATE 6 s" in text(painted(present(BOARD, sounding=late), 120, 40))
    told = text(painted(present(BOARD, told="The clock jumped 61 s."), 120, 40))
    assert "The clock jumped 61 s." in told
    assert "F8 Heard the notice" in told


def test_a_screen_that_was_late_long_ago_is_forgotten() -> None:
    """Ten seconds are enough to look up."""
    back = LateScreen(back_at=earlier(NOW, span("0:10")), span=Span(6000))
    sounding = Sounding(can_sound=True, late_screen=back)

    assert "SCREEN LATE" not in text(painted(present(BOARD, sounding=sounding), 120, 40))


def test_a_new_call_swaps_its_fill_each_second_and_then_rests() -> None:
    """At most one change a second, for five of them; never, where a site says so."""
    odd = at("40:01")
    for now, look, changes in (
        (NOW, LOOK, True),
        (odd, LOOK, False),
        (NOW, replace(LOOK, flashes=False), False),
    ):
        quiet = painted(present(BOARD, now=now), 120, 40, look)
        new = painted(present(BOARD, now=now, alerted={"id-C03": now}), 120, 40, look)
        old = painted(
            present(BOARD, now=now, alerted={"id-C03": earlier(now, span("0:05"))}), 120, 40, look
        )
        assert (new.lines != quiet.lines) is changes
        assert old.lines == quiet.lines
        assert text(new) == text(quiet)


# The scan line and the rest.


def test_what_is_typed_shows_its_end_and_what_is_waited_for_is_said() -> None:
    """The last letters are where a slip is seen."""
    now = present(BOARD)
    assert "Scan │ P-04" in text(painted(now, 80, 24, typed="P-04"))
    assert painted(now, 20, 8, typed="ABCDEFGHIJKLMNOP").lines[-2].text.rstrip().endswith("NOP")
    for doing, words in (
        (READING, "patient's ID"),
        (replace(STEPPING, asks_when=True), "minutes ago"),
        (Labelling(person="P-1", person_by=How.SCANNED), "label on the cartridge"),
        (Labelling(person="P-1", person_by=How.SCANNED, asks_place=True), "where it will lie"),
        (Gathering(), "next person"),
        (Voiding(cartridge="id-C22"), "the very cartridge"),
        (Filling(paper=Paper.LOT), "the answer"),
    ):
        assert words in painted(present(BOARD, doing), 80, 24).lines[-2].text


@pytest.mark.parametrize(
    ("doing", "words"),
    [
        (Gathering(), "Scan or type the next person's ID"),
        (Labelling(person="P-0412", person_by=How.SCANNED), "Scan or type the label"),
        (Labelling(person="P-0412", person_by=How.SCANNED, again=True), "F2 for another, or scan"),
        (Voiding(cartridge="id-C22"), "Scan or type the label of the very cartridge"),
    ],
)
def test_whoever_has_no_scanner_is_told_that_the_keyboard_does(doing: Doing, words: str) -> None:
    """A small surgery has none, and a person cannot be scanned anyway: their ID is."""
    assert words in text(painted(present(BOARD, doing), 80, 24))


def test_what_is_typed_shows_no_control_sign() -> None:
    """Whatever a wrong byte became."""
    page = painted(present(BOARD), 80, 24, typed="a\x1b[2Jb")

    assert "\x1b" not in text(page)


def test_where_there_is_no_axis_the_screen_says_how_to_get_one() -> None:
    """Nobody misses what they do not know."""
    assert "Make the window larger" in text(painted(present(BOARD), 60, 16))
    assert "Make the window" not in text(painted(present(BOARD, STEPPING), 60, 16))


def test_the_chosen_row_is_always_in_sight() -> None:
    """Chosen far down, on any screen."""
    for size in SIZES:
        page = painted(present(BOARD, chosen="id-C25"), *size)
        assert "[C25]" in text(page)
        assert page.list_rows >= 1


def test_the_page_that_covers_the_list_keeps_the_alerts_in_a_line() -> None:
    """Whatever is read, what calls is seen."""
    for doing in EVERY[5:9]:
        assert "CLOSING" in text(painted(present(BOARD, doing), 80, 24))


def test_help_turns_its_pages_and_begins_again() -> None:
    """Every sign, key and caution can be reached on every screen."""
    for size in (*SIZES, (60, 16)):
        pages = [
            text(painted(present(BOARD, Helping(before=Watching(), page=page)), *size))
            for page in range(12)
        ]
        every = " ".join(" ".join(pages).split())
        for words in ("CLOSING: the window ends soon", "the end of it", "a negative does not"):
            assert words.lower() in every.lower()
        # How long before its end a window is called closing is for the assay to say.
        assert "two minutes" not in every
    back = Helping(before=Watching(), page=-1)
    assert "3 of 3" in text(painted(present(BOARD, back), 80, 24))


def test_a_cartridge_that_is_gone_leaves_a_page_that_stands() -> None:
    """Between two paints everything may change."""
    gone = Judging(purpose=Purpose.READ, cartridge="gone")
    for doing in (
        gone,
        Stepping(cartridge="gone", until="x"),
        Voiding(cartridge="gone"),
        TakingBack(cartridge="gone", step="x"),
    ):
        assert " Scan " in text(painted(present(BOARD, doing), 80, 24))
    assert "No cartridge is chosen." in text(painted(present(BOARD, opened=True), 80, 24))


def test_an_outcome_on_the_board_is_told_by_words_alone() -> None:
    """The detail of a cartridge that was read."""
    bench: Bench = one_strip()
    bench.must(bench.read_act(FAINT, "C07"), "18:00")
    page = text(
        painted(present(bench.board, chosen="id-C07", opened=True, now=at("18:30")), 120, 40)
    )

    assert "POSITIVE" in page


def test_what_is_out_of_sight_is_reached_by_mouse() -> None:
    """The words that say how many are below turn the page; so do those that say how many above."""
    page = painted(present(BOARD), 80, 24)
    row = row_with(page, "more below")
    for column in (10, page.lines[row].text.index("PgDn")):
        assert page.given_at(column, row) == Pressed(Key.PAGE_DOWN)

    middle = compose(present(BOARD, chosen="id-C14"), LOOK, 80, 24, top=6)
    row = row_with(middle, "more above")
    said = middle.lines[row].text
    assert middle.given_at(said.index("more above"), row) == Pressed(Key.PAGE_UP)
    assert middle.given_at(said.index("PgUp"), row) == Pressed(Key.PAGE_UP)
    assert middle.given_at(said.index("more below"), row) == Pressed(Key.PAGE_DOWN)
    assert middle.given_at(said.index("PgDn"), row) == Pressed(Key.PAGE_DOWN)

    end = compose(present(BOARD), LOOK, 80, 24, top=99)
    row = row_with(end, "more above")
    assert end.given_at(70, row) == Pressed(Key.PAGE_UP)


def test_a_second_click_on_the_chosen_row_opens_it() -> None:
    """Whoever has the mouse alone can see a cartridge's steps."""
    page = painted(present(BOARD, chosen="id-C04"), 80, 24)
    assert page.given_at(5, row_with(page, "[C04]")) == Pressed(Key.RIGHT)
    assert page.given_at(5, row_with(page, " C05 ")) == PointedAt("id-C05")

    opened = painted(present(BOARD, chosen="id-C04", opened=True), 80, 24)
    assert opened.given_at(5, row_with(opened, "[C04]")) == PointedAt("id-C04")
    foot = opened.lines[-1].text
    assert opened.given_at(foot.index("Close"), 23) == Pressed(Key.BACK)


def test_a_notice_over_the_header_leaves_who_acts_and_the_time() -> None:
    """On a small screen it has no row of its own."""
    now = present(BOARD, sounding=Sounding(can_sound=False))
    first = painted(now, 80, 24).lines[0].text

    assert "NO SOUND" in first
    assert first.rstrip().endswith("op-1 acts   01:33:20")


def test_an_instruction_that_the_call_cuts_stands_whole_below_the_list() -> None:
    """Beside whose turn it is."""
    bench = Bench()
    bench.must(RegisterParty(by="op-1", party=private("blue car"), persons=(private("P-009"),)))
    bench.label()
    for step in ("buffer", "collect", "extract"):
        bench.step(step, "0:00")
    page = text(painted(present(bench.board, now=at("1:10")), 80, 24))

    assert "C1: Squeeze and withdraw the swab   to begin: P-009" in page


def test_long_tags_widen_their_column_on_the_board() -> None:
    """Decided by the board, not by the second."""
    bench = Bench(units=None)
    bench.label("C-0150", "P-001")
    bench.label("C-0250", "P-002")
    page = text(painted(present(bench.board, now=at("0:10")), 80, 24))

    assert "C-0150" in page
    assert "C-0250" in page
