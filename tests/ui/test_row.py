"""A row says in plain letters where its cartridge stands, whatever stands on its label."""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from rich.cells import cell_len

from builders import CLEAR, TODAY, Bench, at, private
from readbell.core.board.acts import RegisterPerson
from readbell.core.board.events import ClockUnsure
from readbell.core.board.fold import fold
from readbell.core.cartridge.acts import Label
from readbell.ui.glyphs import ASCII, UNICODE, Glyphs
from readbell.ui.ink import Line, Token
from readbell.ui.measures import measures
from readbell.ui.row import empty_row, mask, row
from readbell.ui.tags import kept_to
from ui.busy_board import FACE, NOW, busy_bench

if TYPE_CHECKING:
    from readbell.core.board.board import Board
    from readbell.core.instant import Instant

BUSY = busy_bench()
SIZES = [(80, 24), (120, 40), (200, 60)]
NARROW = [(34, 12), (60, 20)]


def drawn(
    board: Board,
    tag: str,
    now: Instant = NOW,
    *,
    size: tuple[int, int] = (120, 40),
    glyphs: Glyphs = UNICODE,
    chosen: bool = False,
    masked: bool = False,
    flash: bool = False,
) -> Line:
    """The row of the cartridge `tag`."""
    cartridge = board.labelled(tag)
    assert cartridge is not None
    columns = measures(*size).columns
    return row(
        cartridge,
        board,
        now,
        columns,
        glyphs,
        face=FACE,
        chosen=chosen,
        masked=masked,
        flash=flash,
    )


def words(line: Line, columns: int = 40) -> str:
    """What stands left of the axis."""
    return line.text[:columns].rstrip()


@pytest.mark.parametrize(
    ("tag", "expected"),
    [
        ("C01", " x   C01   P-0412   LAPSED      +1:20"),
        ("C03", " !!  C03   P-0414   CLOSING      1:10"),
        ("C04", " !   C04   P-0415   READ NOW     2:40"),
        ("C22", " >   C22   P-0433   WAIT OVER   +0:25"),
        ("C23", "     C23   P-0434   in buffer    0:25"),
        ("C07", " e   C07   P-0418   opens in     1:20"),
        ("C09", " e+  C09   P-0420   opens in     3:20"),
        ("C19", " e   C19   P-0430   opens in    12:25"),
        ("C20", "     C20   P-0431   opens in    13:30"),
        ("C24", "     C24   P-0435   preparing   +0:50"),
        ("C25", "     C25   P-0436   labelled    +0:10"),
    ],
)
def test_each_state_has_its_own_words_and_sign(tag: str, expected: str) -> None:
    """Columns stand still, so that the eye finds them."""
    assert words(drawn(BUSY.board, tag)) == expected


@pytest.mark.parametrize("size", [*SIZES, *NARROW])
@pytest.mark.parametrize("glyphs", [UNICODE, ASCII])
def test_plain_text_alone_tells_all_states_apart(size: tuple[int, int], glyphs: Glyphs) -> None:
    """No colour, no other glyph set and no narrow screen may take a state away."""
    found = {}
    for tag in ("C01", "C03", "C04", "C07", "C09", "C20", "C22", "C23", "C24", "C25"):
        columns = measures(*size).columns
        text = drawn(BUSY.board, tag, size=size, glyphs=glyphs).text
        sign = text[columns.sign.column : columns.sign.end]
        word = text[columns.state.column : columns.time.end].strip("0123456789:+ ")
        found[tag] = (sign, word)

    assert len(set(found.values())) == len(found)


def test_both_glyph_sets_have_the_same_words() -> None:
    """Only the track is drawn in other marks."""
    for cartridge in BUSY.board.in_order():
        one = drawn(BUSY.board, cartridge.label, glyphs=UNICODE)
        other = drawn(BUSY.board, cartridge.label, glyphs=ASCII)
        assert words(one) == words(other)
        assert other.text.isascii()


@pytest.mark.parametrize("size", [*SIZES, *NARROW, (20, 8), (150, 50)])
def test_a_row_is_exactly_as_wide_as_its_list(size: tuple[int, int]) -> None:
    """One cell more would wrap and push the list down."""
    columns = measures(*size).columns
    for cartridge in BUSY.board.in_order():
        assert drawn(BUSY.board, cartridge.label, size=size).width == columns.width
    assert empty_row(BUSY.board, columns, UNICODE).width == columns.width


def test_the_chosen_row_has_brackets_and_a_ground() -> None:
    """Brackets say it where there is no colour."""
    line = drawn(BUSY.board, "C03", chosen=True)

    assert words(line).startswith(" !! [C03]  P-0414   CLOSING")
    assert line.chosen


def test_two_states_alone_are_filled_and_a_flash_swaps_them() -> None:
    """Fills mean: look now."""
    filled = {
        tag: {piece.token for piece in drawn(BUSY.board, tag).pieces if "fill" in piece.token}
        for tag in ("C01", "C03", "C04", "C22", "C07")
    }

    assert filled == {
        "C01": set(),
        "C03": {Token.SHORT_FILL},
        "C04": {Token.EYES_FILL},
        "C22": set(),
        "C07": set(),
    }
    flashed = drawn(BUSY.board, "C04", flash=True)
    assert not any("fill" in piece.token for piece in flashed.pieces)
    assert flashed.text == drawn(BUSY.board, "C04").text


def test_overdue_is_filled_too() -> None:
    """A wait gone too long."""
    line = drawn(BUSY.board, "C22", at("42:00"))

    assert words(line) == " >>  C22   P-0433   OVERDUE     +0:25"
    assert Token.HANDS_FILL in {piece.token for piece in line.pieces}


def test_an_unsure_clock_is_told_without_a_figure() -> None:
    """And without a window."""
    board = fold(BUSY.board, ClockUnsure(at=NOW, cartridges=("id-C04",)))
    line = drawn(board, "C04")

    assert line.text.rstrip() == " ?   C04   P-0415   clock unsure              │"


def test_a_masked_row_shows_no_digit_of_a_name_and_no_early_positive() -> None:
    """Whoever walks past reads no name and no result."""
    masked = drawn(BUSY.board, "C09", masked=True)

    assert words(masked) == " e   C09   P-····   opens in     3:20"
    assert words(drawn(BUSY.board, "C09", masked=True, chosen=True)).startswith(" e+ [C09]  P-····")


@pytest.mark.parametrize(
    ("name", "expected"),
    [
        ("P-0412", "P-····"),
        ("0412", "····"),
        ("12-34", "····"),
        ("SMITH-1", "····"),
        ("", "····"),
    ],
)
def test_a_mask_keeps_no_more_than_one_letter(name: str, expected: str) -> None:
    """What stands before a dash may be a name."""
    assert mask(name, UNICODE) == expected


def early_and_open() -> Bench:
    """A bench whose C1 was seen positive early, and is open now."""
    bench = Bench()
    bench.to_well()
    bench.must(bench.look_act(CLEAR), "6:00")
    return bench


@pytest.mark.parametrize("size", [*SIZES, *NARROW])
def test_an_early_positive_stays_in_sight_while_the_window_is_open(size: tuple[int, int]) -> None:
    """It is owed its window reading, and is not to be told twice."""
    text = drawn(early_and_open().board, "C1", at("18:00"), size=size).text

    assert "READ NOW" in text
    assert "e+" in text or "!+" in text


def test_an_erased_person_is_told_as_such() -> None:
    """The cartridge still has to be read."""
    bench = Bench()
    bench.to_well()
    key = bench.board.persons["P-001"]
    erased = replace(bench.board, names={**bench.board.names, key: None})

    assert "erased" in drawn(erased, "C1", at("3:00")).text


def test_a_long_name_keeps_its_end() -> None:
    """Names that begin alike end apart."""
    assert kept_to("C0001", 4) == "~001"
    assert kept_to("C001", 4) == "C001"
    assert kept_to("日本語", 4) == "~語"


def test_the_gap_before_the_drops_is_seen() -> None:
    """No clock runs against it, so nothing will ring: the sign and the time since say it."""
    bench = Bench()
    bench.label()
    for step in ("buffer", "collect", "extract"):
        bench.step(step, "0:00")
    bench.step("withdraw", "1:00")
    line = drawn(bench.board, "C1", at("1:20"))

    assert words(line) == " >   C1    P-001    drops due   +0:20"
    assert not any("fill" in piece.token for piece in line.pieces)


@pytest.mark.parametrize("size", [*SIZES, (60, 20)])
def test_long_tags_that_end_alike_are_told_apart(size: tuple[int, int]) -> None:
    """C-0150, C-0250 and Q71050 would all be ~50, and one strip would be read for another."""
    bench = Bench(units=None)
    labels = ("C-0150", "C-0250", "Q71050", "A-12345678-X", "B-12345678-X")
    for number, label in enumerate(labels):
        bench.must(RegisterPerson(by="op-1", person=private(f"Q-{number}")))
        bench.label(label, f"Q-{number}")
    columns = measures(*size, tag=8).columns
    shown = [
        row(bench.cartridge(each), bench.board, at("0:10"), columns, UNICODE, face=FACE).text[
            columns.tag.column : columns.tag.end
        ]
        for each in labels
    ]

    assert [each.strip() for each in shown[:3]] == list(labels[:3])
    assert len(set(shown)) == len(labels)


def test_a_wide_screen_has_clock_times_and_a_narrow_one_too() -> None:
    """What closes is rounded down, what opens up."""
    assert drawn(BUSY.board, "C03", size=(200, 60)).text.rstrip().endswith("01:34:30")
    assert "01:34:40" in drawn(BUSY.board, "C07", size=(60, 20)).text


def test_without_an_axis_the_next_step_is_named() -> None:
    """There is room for it, and nothing to look at."""
    assert "Squeeze" in drawn(BUSY.board, "C22", size=(70, 20)).text


ODD = st.text(st.sampled_from("[]/C1\x1b\x00‮​語é ~"), min_size=1, max_size=12)


@settings(max_examples=120, deadline=None)
@given(tag=ODD, person=ODD, place=ODD, size=st.sampled_from([*SIZES, *NARROW]))
def test_whatever_is_on_a_label_moves_nothing(
    tag: str, person: str, place: str, size: tuple[int, int]
) -> None:
    """No markup, no escape, no sign of no width and none of two can shift a column."""
    bench = Bench()
    if person in bench.board.persons:
        return
    bench.must(RegisterPerson(by="op-1", person=private(person)))
    act = Label(
        aim=bench.aim(tag, person=person),
        new_id="odd",
        lot="L-100",
        today=TODAY,
        place=private(place),
    )
    bench.must(act)
    columns = measures(*size).columns
    line = drawn(bench.board, tag, at("0:01"), size=size)

    assert line.width == cell_len(line.text) == columns.width
    assert "\x1b" not in line.text
    assert line.text.isprintable()
    if columns.axis is not None:
        before = Line(line.pieces).fitted(columns.axis.now + 1).text
        assert before.endswith(UNICODE.now)
