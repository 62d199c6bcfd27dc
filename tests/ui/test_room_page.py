"""The rooms beside the board, and the forms of the small register."""

from __future__ import annotations

from dataclasses import replace
from datetime import date
from typing import TYPE_CHECKING

import pytest

from builders import FAINT, NASAL, NO_CONTROL, THREE_LINES, TODAY, Bench, at, bands, span
from readbell.core.board.acts import MuteSound, OpenLot, ReceiveLot
from readbell.core.board.board import Board
from readbell.core.board.events import MuteReason
from readbell.hand.doing import Doing, Filling, Leaving, Paper, Room, Visiting
from readbell.hand.given import Chose, Key, Pressed
from readbell.phrases.assay_words import say_figures
from readbell.ui.glyphs import UNICODE
from readbell.ui.look import Look
from readbell.ui.room_page import NAMES
from ui.busy_board import busy_bench
from ui.pages import SIZES, SMALL_SIZES, one_strip, painted, present, row_with, text
from ui.shared_bay import alone, linked

if TYPE_CHECKING:
    from readbell.bay.around import Around

BOARD = busy_bench().board
READ = one_strip()
READ.must(READ.read_act(FAINT, "C07"), "18:00")
OPEN = at("18:30")


def shown(board: Board, doing: Doing, size: tuple[int, int] = (80, 24)) -> str:
    """The page as text; a bay that has a room of stations is shared."""
    shared = isinstance(doing, Visiting) and doing.room is Room.STATIONS
    return text(
        painted(present(board, doing, now=OPEN, around=linked() if shared else None), *size)
    )


def test_each_lot_tells_its_state_in_words() -> None:
    """Open, in store, on hold, used up, expired: no colour needed."""
    bench = Bench(units=1)
    for number, expires, units in (
        ("L-old", date(2026, 3, 1), 5),
        ("L-held", date(2026, 12, 31), 5),
        ("L-new", date(2026, 12, 31), 5),
        ("L-many", date(2026, 12, 31), None),
    ):
        bench.must(
            ReceiveLot(by="op-1", number=number, assay=bench.assay.id, expires=expires, units=units)
        )
    bench.must(bench.hold_act("L-held"))
    bench.must(OpenLot(by="op-1", lot="L-new", today=TODAY))
    bench.label()
    rows = {
        line.split()[0]: line
        for line in shown(bench.board, Visiting()).splitlines()
        if "L-" in line
    }

    assert "used up" in shown(bench.board, Visiting())
    assert "0 of 1" in shown(bench.board, Visiting())
    assert "EXPIRED" in rows["L-old"]
    assert "ON HOLD" in rows["L-held"]
    assert "open" in rows["L-new"]
    assert "not counted" in rows["L-many"]


@pytest.mark.parametrize("size", [*SIZES, *SMALL_SIZES])
@pytest.mark.parametrize("room", Room)
def test_every_room_stands_on_every_screen(room: Room, size: tuple[int, int]) -> None:
    """Where one is, what can be done, and the scan line."""
    page = shown(BOARD, Visiting(room=room), size)

    assert "[" in page
    assert " Scan " in page
    assert all(len(line) <= size[0] for line in page.splitlines())


def test_a_long_list_scrolls_with_what_is_chosen_and_a_click_chooses() -> None:
    """Twenty operators, and eight rows."""
    bench = Bench()
    board = bench.board
    for number in range(30):
        bench.must(
            ReceiveLot(
                by="op-1",
                number=f"L-{number:03}",
                assay=bench.assay.id,
                expires=date(2026, 12, 31),
                units=5,
            )
        )
    board = bench.board
    page = painted(present(board, Visiting(cursor=25)), 80, 16)
    row = row_with(page, "> L-024")

    assert page.given_at(5, row) == Chose("thing", "L-024")
    assert page.given_at(5, row - 1) == Chose("thing", "L-023")


def test_a_click_on_the_name_of_a_room_goes_there() -> None:
    """By mouse as by keys."""
    page = painted(present(BOARD, Visiting()), 80, 24)
    row = row_with(page, "[Lots]")
    column = page.lines[row].text.index("Sound")

    assert page.given_at(column, row) == Chose("room", "sound")


def test_empty_rooms_say_how_they_are_filled() -> None:
    """The first day has nothing to show."""
    empty = Board()

    assert "F2 takes one in" in shown(empty, Visiting())
    assert "F2 registers the first" in shown(empty, Visiting(room=Room.PEOPLE))
    assert "Nothing was read yet." in shown(empty, Visiting(room=Room.TODAY))


def test_no_assay_at_hand_is_told() -> None:
    """A broken installation, say."""
    from readbell.ui.room_page import room_page

    bare = present(BOARD, Visiting(room=Room.ASSAYS))
    from dataclasses import replace

    scene = replace(bare.scene, shelf=())
    made = room_page(Visiting(room=Room.ASSAYS), scene, bare.news, 80, 9, masked=False)

    assert "No assay file is at hand" in "".join(each.text for each in made.lines)


ADOPTING = Filling(paper=Paper.ASSAY, answers=(("assay", NASAL.id),), cursor=2)


@pytest.mark.parametrize("size", SIZES)
@pytest.mark.parametrize("doing", [Visiting(room=Room.ASSAYS), ADOPTING], ids=["room", "form"])
def test_the_figures_of_an_assay_are_in_sight_where_it_is_adopted(
    doing: Doing, size: tuple[int, int]
) -> None:
    """Whoever says that they agree with the kit's instructions has to see them."""
    page = " ".join(shown(BOARD, doing, size).split())

    for each in say_figures(NASAL):
        assert each in page


@pytest.mark.parametrize("size", SIZES)
@pytest.mark.parametrize("cursor", [0, 1, 2])
def test_the_form_gives_way_to_the_figures_and_keeps_the_question_in_hand(
    size: tuple[int, int], cursor: int
) -> None:
    """With as many assays at hand as come with the program."""
    now = present(BOARD, replace(ADOPTING, cursor=cursor), now=OPEN)
    first, *_ = now.scene.shelf
    many = (first, *(replace(first, id=f"other-{n}", title=f"Other {n}") for n in range(5)))
    page = text(painted(replace(now, scene=replace(now.scene, shelf=many)), *size))
    said = " ".join(page.split())

    for each in say_figures(NASAL):
        assert each in said
    asks = ("> Assay", "> Version of the kit's instructions", "> Every figure held against them")
    assert asks[cursor] in said
    assert "yes, all agree" in said or cursor != 2
    assert "respiratory-antigen-nasal" in said


def test_where_there_is_no_room_for_all_figures_it_is_said() -> None:
    """A figure that is cut off is one that nobody checks."""
    page = shown(BOARD, Visiting(room=Room.ASSAYS), (36, 12))

    assert "readbell assay" in page


def test_the_sound_room_says_whether_it_was_tested_and_what_f2_does() -> None:
    """One key mutes and sounds again: its words say which."""
    bench = Bench()
    assert "was not tested" in shown(bench.board, Visiting(room=Room.SOUND))
    assert "F2 Mute 5:00" in shown(bench.board, Visiting(room=Room.SOUND))
    bench.must(MuteSound(by="op-1", reason=MuteReason.CONVERSATION, span=span("5:00")), "18:00")

    page = painted(present(bench.board, Visiting(room=Room.SOUND), now=OPEN), 80, 24)
    assert "F2 Sound again" in text(page)
    assert "Why the sound is to rest" not in text(page)
    row = page.lines[-1].text
    assert page.given_at(row.index("Sound again"), 23) == Pressed(Key.START)


def test_results_name_patient_outcome_instant_and_reader() -> None:
    """The latest first."""
    page = shown(READ.board, Visiting(room=Room.TODAY))

    assert "C07" in page
    assert "P-001" in page
    assert "+ POSITIVE" in page
    assert "op-1" in page


def test_an_unread_strip_stands_among_the_results_with_when_its_window_closed() -> None:
    """Of the instant of its drops it would look as if it had come first, and as if it had been read."""
    bench = Bench(units=None)
    bench.to_well("C1", "P-001")
    bench.to_well("C2", "P-002")
    bench.must(bench.read_act(FAINT, "C2"), "18:00")
    bench.lapse("C1")
    rows = [
        each.split()
        for each in shown(bench.board, Visiting(room=Room.TODAY)).splitlines()
        if each.strip().startswith(("C1", "C2"))
    ]

    # The drops fell at 2:30 after 00:53:20, the window is open to 20:00 after them.
    assert [(each[0], each[4]) for each in rows] == [("C1", "01:15:50"), ("C2", "01:11:20")]


def test_masked_results_hide_patient_outcome_and_that_a_repeat_is_owed() -> None:
    """Each of the three is a result."""
    bench = one_strip()
    bench.must(bench.read_act(NO_CONTROL, "C07"), "18:00")
    now = present(bench.board, Visiting(room=Room.TODAY), now=OPEN)
    away = present(bench.board, Visiting(room=Room.TODAY), now=OPEN, idle=span("11:00"))
    page = text(painted(away, 80, 24))

    assert "repeat" in text(painted(now, 80, 24, Look(glyphs=UNICODE, masks=True)))
    for secret in ("P-001", "INVALID", "repeat"):
        assert secret not in page
    assert page.count("hidden") == 2


def test_more_results_than_rows_are_counted() -> None:
    """Nothing vanishes without a word."""
    bench = Bench(units=None)
    for number in range(9):
        bench.to_well(f"C{number}", "P-001")
        bench.must(bench.read_act(FAINT, f"C{number}"), f"18:{number:02}")
    page = shown(bench.board, Visiting(room=Room.TODAY), (80, 12))

    assert "earlier ones" in page
    assert "C8" in page


@pytest.mark.parametrize("paper", Paper)
@pytest.mark.parametrize("size", [*SIZES, *SMALL_SIZES])
def test_each_form_shows_its_line_in_hand(paper: Paper, size: tuple[int, int]) -> None:
    """And the key that saves it."""
    page = shown(BOARD, Filling(paper=paper, cursor=9), size)

    assert ">" in page
    assert " F2 Save" in page


@pytest.mark.parametrize("size", [*SIZES, *SMALL_SIZES])
def test_leaving_shows_what_runs_and_how_many_have_no_room(size: tuple[int, int]) -> None:
    """The board is not left by accident."""
    page = shown(BOARD, Leaving(), size)

    assert "Leave the board" in page
    assert "23 running." in page.replace("\n  ", " ")
    assert " Ctrl+Q Leave" in page
    if size[1] < 30:
        assert "more" in page


@pytest.mark.parametrize("size", SIZES)
def test_leaving_a_shared_bay_says_where_alarms_go_on(size: tuple[int, int]) -> None:
    """Others watch what runs, unless this station is alone or the only one."""

    def told(around: Around | None) -> str:
        seen = present(BOARD, Leaving(), around=around)
        return " ".join(text(painted(seen, *size)).split())

    assert "alarms ring at the others that are here: office, window. Here none does." in told(
        linked()
    )
    assert "alarms ring at the others that are here: office." in told(linked(away=True))
    only = replace(linked(), seen=linked().seen[:1])
    for around in (None, alone(), only):
        assert "Nobody watches them once the board is left" in told(around)


def test_leaving_an_empty_board_says_so() -> None:
    """Nothing is kept waiting."""
    assert "Nothing runs." in shown(Board(), Leaving())


def test_leaving_says_that_somebody_is_still_to_be_repeated() -> None:
    """ "Nothing runs" alone would send everybody home."""
    bench = Bench()
    bench.to_well("C1", "P-001")
    bench.lapse("C1")
    page = " ".join(shown(bench.board, Leaving()).split())

    assert "Nothing runs. 1 to repeat: F9, Patients says who." in page
    assert "P-001" not in page


@pytest.mark.parametrize("room", list(Room))
def test_a_room_is_called_the_same_on_the_screen_and_read_aloud(room: Room) -> None:
    """One word for each thing; and people are those who are tested, not those who act."""
    assert NAMES[room].lower() == room.value
    assert "people" not in room.value


def test_masked_leaving_names_no_patient_and_no_early_note() -> None:
    """It is a list of all who are here."""
    now = present(BOARD, Leaving())
    page = text(painted(now, 120, 40, Look(glyphs=UNICODE, masks=True)))

    assert "P-04" not in page
    assert "e+" not in page
    assert "C09" in page


def test_each_analyte_of_a_result_is_named_and_masked_with_the_rest() -> None:
    """One outcome for the whole strip does not say which line was there."""
    bench = one_strip(THREE_LINES)
    seen = bands(influenza_a="faint", influenza_b="absent", sars_cov_2="clear")
    bench.must(bench.read_act(seen, "C07"), "18:00")
    now = present(bench.board, Visiting(room=Room.TODAY), now=OPEN)

    page = " ".join(text(painted(now, 80, 24)).split())
    assert "Influenza A antigen positive, Influenza B antigen negative, SARS-CoV-2" in page
    away = present(bench.board, Visiting(room=Room.TODAY), now=OPEN, idle=span("11:00"))
    assert "antigen" not in text(painted(away, 80, 24))


def test_a_result_is_shown_whole_or_counted() -> None:
    """Half a result would be read as a whole one."""
    bench = Bench(THREE_LINES, units=None)
    seen = bands(influenza_a="faint", influenza_b="absent", sars_cov_2="clear")
    for number in range(9):
        tag = f"C{number}"
        bench.to_well(tag, "P-001" if number % 2 else "P-002")
        bench.must(bench.read_act(seen, tag), "18:00")
    page = text(painted(present(bench.board, Visiting(room=Room.TODAY), now=OPEN), 80, 24))

    assert page.count("+ POSITIVE") == page.count("SARS-CoV-2 antigen positive")
    assert f"and {9 - page.count('+ POSITIVE')} earlier ones" in page


def test_two_assays_of_one_title_are_told_apart_by_their_ids() -> None:
    """Adopting the wrong one would time every strip wrongly."""
    now = present(BOARD, Visiting(room=Room.ASSAYS), now=OPEN)
    first, *_ = now.scene.shelf
    twin = replace(first, id="another-file")
    twins = replace(now, scene=replace(now.scene, shelf=(*now.scene.shelf, twin)))

    for size in ((80, 24), (120, 40)):
        page = text(painted(twins, *size))
        assert f"{first.id}: " in page
        assert "another-file: " in page
    assert f"{first.id}: " not in text(painted(now, 80, 24))
