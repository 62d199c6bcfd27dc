"""The last line: what the keys do now, the most needed first."""

from __future__ import annotations

from dataclasses import replace

import pytest

from builders import CLEAR, at
from readbell.core.cartridge.events import How
from readbell.hand.doing import (
    Doing,
    Filling,
    Gathering,
    Helping,
    Judging,
    Labelling,
    Leaving,
    Paper,
    Purpose,
    Room,
    Stepping,
    TakingBack,
    Visiting,
    Voiding,
    Watching,
)
from readbell.hand.given import Key
from readbell.ui.keys_line import NAMES, keys_for, keys_line
from ui.pages import one_strip, painted, present, text

JUDGING = Judging(purpose=Purpose.READ, cartridge="id")
LOOKING = Judging(purpose=Purpose.LOOK, cartridge="id", ready=True)
EVERY: tuple[Doing, ...] = (
    Watching(),
    Stepping(cartridge="id", until="buffer"),
    Labelling(person="P-001", person_by=How.SCANNED),
    Gathering(),
    JUDGING,
    LOOKING,
    Judging(purpose=Purpose.LOOK, cartridge="id"),
    Judging(purpose=Purpose.CORRECT, cartridge="id", cannot_be_read=True),
    Voiding(cartridge="id"),
    *(Visiting(room=room) for room in Room),
    *(Filling(paper=paper) for paper in Paper),
    TakingBack(cartridge="id", step="apply"),
    Helping(before=Watching()),
    Leaving(),
)


@pytest.mark.parametrize("width", [20, 36, 60, 80, 120])
@pytest.mark.parametrize(
    ("doing", "saves"),
    [
        (JUDGING, Key.READ),
        (LOOKING, Key.LOOK),
        (EVERY[1], Key.DONE),
        (EVERY[8], Key.VOID),
        (Filling(paper=Paper.LOT), Key.START),
        (Gathering(), Key.START),
        (TakingBack(cartridge="id", step="apply"), Key.SECOND),
        (Leaving(), Key.LEAVE),
    ],
)
def test_the_key_that_saves_is_on_the_line_at_any_width(
    doing: Doing, saves: Key, width: int
) -> None:
    """A form whose saving key is left out cannot be finished."""
    keys = keys_for(doing, "C03", "C07 P-001 + POSITIVE")
    shown, spots = keys_line(keys, width)

    assert spots[0].key is saves
    assert shown.text.startswith(f" {NAMES[saves]}")
    assert shown.width == width


@pytest.mark.parametrize("doing", EVERY)
@pytest.mark.parametrize("width", [20, 48, 80, 200])
def test_a_click_on_a_key_gives_that_key_and_no_key_is_cut(doing: Doing, width: int) -> None:
    """Cells and words agree, and what has no room is left out whole."""
    keys = keys_for(doing, "C03", "C07")
    shown, spots = keys_line(keys, width)

    for place, spot in enumerate(spots):
        text = shown.text[spot.begins : spot.ends]
        assert text.startswith(NAMES[spot.key])
        assert text == f"{NAMES[spot.key]} {dict(keys)[spot.key]}" or place == 0


@pytest.mark.parametrize("doing", EVERY)
def test_no_key_is_offered_twice(doing: Doing) -> None:
    """Two meanings of one key would be a trap."""
    for heard in (None, "C03"):
        keys = [key for key, _ in keys_for(doing, heard, "C07")]
        assert len(keys) == len(set(keys))


def test_at_80_columns_the_board_offers_everything_and_rest_for_the_sound() -> None:
    """Help is never what is left out, and what a mouse alone must reach is there too."""
    shown, spots = keys_line(keys_for(Watching(), "C03"), 80)

    assert "F8 Heard C03" in shown.text
    assert "? Help" in shown.text
    assert Key.RIGHT in {each.key for each in spots}


def test_the_board_can_be_left_and_a_panel_closed_by_mouse() -> None:
    """Where there is room: with the keyboard it can be done on any screen."""
    shut = {each.key for each in keys_line(keys_for(Watching(), None), 120)[1]}
    opened = {each.key for each in keys_line(keys_for(Watching(), None, "id-C1"), 120)[1]}

    assert {Key.RIGHT, Key.LEAVE} <= shut
    assert Key.BACK in opened - shut
    assert Key.RIGHT in opened  # a second time it opens the story


def test_the_way_back_is_on_the_line_of_a_step_at_80_columns_while_something_rings() -> None:
    """What has no room is left out, and what comes after it is not lost with it."""
    keys = keys_for(Stepping(cartridge="id", until="extract"), "C103", "C104")
    shown, spots = keys_line(keys, 80)

    assert Key.BACK in {each.key for each in spots}, shown.text
    one = keys_for(
        Stepping(cartridge="id", until="withdraw"), "C03", "C04", frozenset({Key.UP, Key.DOWN})
    )
    assert {Key.HEARD, Key.BACK} <= {each.key for each in keys_line(one, 80)[1]}


def test_on_a_form_the_line_says_how_an_answer_is_chosen() -> None:
    """Beside the way to the next line, with the sound and the way back, on a screen of 80 columns."""
    keys = keys_for(Filling(paper=Paper.LOT), "C03")

    assert dict(keys)[Key.DOWN] == "Choose"
    assert {each.key for each in keys_line(keys, 80)[1]} == {key for key, _ in keys}
    typed = keys_for(Filling(paper=Paper.LOT), "C03", idle=frozenset({Key.DOWN}))
    assert Key.DOWN not in dict(typed)


def test_before_an_early_look_nothing_can_be_saved() -> None:
    """First: is there anything to see at all."""
    keys = dict(keys_for(Judging(purpose=Purpose.LOOK, cartridge="id"), None))

    assert Key.LOOK not in keys
    assert keys[Key.UP] == "Yes"


def test_what_cannot_be_read_can_be_read_again() -> None:
    """The same key leads back."""
    doing = Judging(purpose=Purpose.READ, cartridge="id", cannot_be_read=True)

    assert dict(keys_for(doing, None))[Key.SECOND] == "Can be read"


def test_where_not_even_the_first_key_fits_nothing_is_half_shown() -> None:
    """No terminal is that narrow; still nothing may fail."""
    shown, spots = keys_line(keys_for(Watching(), None), 3)

    assert shown.width == 3
    assert len(spots) <= 1


def test_while_a_supervisor_is_waited_for_no_label_is_offered() -> None:
    """Their badge comes first, and the pouch stays shut."""
    doing = Labelling(person="P-001", person_by=How.SCANNED, asks_witness=True)
    assert Key.START not in dict(keys_for(doing, None, "C07"))


def test_another_open_box_is_offered_where_there_is_one_and_esc_keeps_its_place() -> None:
    """On the narrowest board, too; where one kit is run the line is as it was."""
    doing = Labelling(person="P-001", person_by=How.SCANNED)
    keys = keys_for(doing, None, "C07")
    assert dict(keys)[Key.LOOK] == "Other box"
    shown, _ = keys_line(keys, 80)
    assert shown.text.rstrip() == (
        " F2 Write C07 on it   F6 Bench place   F4 Other box   Esc Back   F12 Gone"
    )
    assert Key.LOOK not in dict(keys_for(doing, None, "C07", frozenset({Key.LOOK})))
    waiting = keys_for(replace(doing, asks_witness=True), None, "C07", frozenset({Key.LOOK}))
    assert [*dict(waiting)] == [Key.BACK]


def test_a_label_that_was_doubted_is_what_the_key_takes() -> None:
    """The line never names one label while the key records another."""
    doing = Labelling(person="P-001", person_by=How.SCANNED, doubted="P-909")
    assert dict(keys_for(doing, None, ""))[Key.START] == "Take it as the label"
    assert dict(keys_for(replace(doing, doubted=None), None, "C07"))[Key.START] == "Write C07 on it"


def test_a_key_of_a_room_that_does_nothing_now_is_left_out() -> None:
    """What is offered has to be so."""
    doing = Visiting(room=Room.SHIFT)
    every = dict(keys_for(doing, None))
    left = dict(keys_for(doing, None, idle=frozenset({Key.START, Key.READ})))
    assert set(every) - set(left) == {Key.START, Key.READ}


@pytest.mark.parametrize("room", [Room.LOTS, Room.PEOPLE, Room.PATIENTS, Room.TODAY])
def test_where_a_story_can_be_opened_the_line_says_so(room: Room) -> None:
    """On a screen of the usual width, with the way back to the board beside it."""
    keys = keys_for(Visiting(room=room), None)
    assert dict(keys)[Key.PAGE_DOWN] == "Story"
    shown = {each.key for each in keys_line(keys, 80)[1]}
    assert {Key.PAGE_DOWN, Key.ROOMS} <= shown


@pytest.mark.parametrize("size", [(120, 40), (200, 60)])
def test_a_cartridge_that_is_not_to_be_given_up_offers_no_void(size: tuple[int, int]) -> None:
    """A positive was seen early on it: a supervisor alone withdraws what was seen."""
    bench = one_strip()
    may = text(painted(present(bench.board, chosen="id-C07", now=at("6:00")), *size))
    bench.must(bench.look_act(CLEAR, "C07"), "6:00")
    may_not = text(painted(present(bench.board, chosen="id-C07", now=at("6:10")), *size))

    assert "F12 Void" in may.splitlines()[-1]
    assert "F12" not in may_not.splitlines()[-1]
