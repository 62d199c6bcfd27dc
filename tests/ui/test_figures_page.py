"""The page of all the figures: table and picture side by side, one below the other, or one of them."""

from __future__ import annotations

import sys
from dataclasses import replace
from typing import TYPE_CHECKING

import pytest

from builders import Bench
from readbell.bay.figures_beside import FiguresBeside, Seen
from readbell.core.figures.view import Answered, Asked, By, CountFailed, Counting, Sheet, Stretch
from readbell.hand.doing import Figuring
from readbell.hand.given import Chose, Key, Pressed
from readbell.phrases.view_words import HIDDEN, NAMES, NO_PICTURE
from readbell.ui.glyphs import ASCII
from ui.pages import LOOK, SIZES, SMALL_SIZES, painted, present, row_with, text

if TYPE_CHECKING:
    from readbell.ui.look import Look
    from readbell.ui.page import Page

BENCH = Bench()


class Answering(FiguresBeside):
    """Answers whatever is asked at once, without any program, and keeps what it was asked."""

    def __init__(self, *, rows: int = 40, drawn: bool = True, notes: int = 2) -> None:
        super().__init__((sys.executable, "-c", ""), lambda: None)
        self._many, self._drawn, self._notes = rows, drawn, notes
        self.asked: list[Asked] = []

    def ask(self, asked: Asked) -> Seen:
        """Return rows as wide as they may be, and a frame of the size that was asked for."""
        self.asked.append(asked)
        picture: tuple[str, ...] = ()
        if asked.picture is not None and self._drawn:
            wide, high = asked.picture
            picture = ("#" * wide,) * high
        answered = Answered(
            asked=asked,
            as_of="10:42",
            head="head".ljust(asked.wide, "-"),
            rows=tuple(
                (f"k{each}", f"row {each} ".ljust(asked.wide, ".")) for each in range(self._many)
            ),
            notes=("What is to be known of it, in so many words that they may take several rows.",)
            * self._notes,
            picture=picture,
        )
        self._seen = Seen(answered=answered)
        return self._seen


class Standing(FiguresBeside):
    """Says one thing, whatever is asked."""

    def __init__(self, seen: Seen) -> None:
        super().__init__((sys.executable, "-c", ""), lambda: None)
        self._seen = seen

    def ask(self, asked: Asked) -> Seen:  # noqa: ARG002  # one thing, whatever is asked
        """Return it."""
        return self._seen


def page(
    doing: Figuring,
    size: tuple[int, int] = (80, 24),
    figures: FiguresBeside | None = None,
    look: Look = LOOK,
    *,
    idle: bool = False,
) -> Page:
    """The page of `doing`."""
    now = present(BENCH.board, doing)
    if idle:
        now = present(BENCH.board, doing, idle=LOOK.masks_after)
    return painted(replace(now, scene=replace(now.scene, figures=figures)), *size, look)


@pytest.mark.parametrize("size", [*SIZES, *SMALL_SIZES, (118, 24), (160, 30)])
@pytest.mark.parametrize("sheet", Sheet)
@pytest.mark.parametrize("draws", [False, True])
def test_every_table_stands_on_every_screen(
    size: tuple[int, int], sheet: Sheet, *, draws: bool
) -> None:
    """With something of it to be seen, and nothing beyond the edge."""
    made = text(page(Figuring(sheet=sheet, draws=draws), size, Answering()))

    assert len(made.splitlines()) <= size[1]
    assert all(len(each) <= size[0] for each in made.splitlines())
    assert "row 0" in made or "###" in made or size[1] < 12
    assert " Scan " in made


def test_on_a_wide_screen_the_picture_stands_beside_the_table() -> None:
    """In the same rows."""
    made = text(page(Figuring(), (120, 40), Answering()))

    assert any("row 0" in each and "####" in each for each in made.splitlines())


def test_on_a_narrow_high_screen_it_stands_below() -> None:
    """And never in the same row."""
    lines = text(page(Figuring(), (80, 50), Answering())).splitlines()
    rows = [place for place, each in enumerate(lines) if "row " in each and "...." in each]
    drawn = [place for place, each in enumerate(lines) if "####" in each]

    assert rows
    assert drawn
    assert max(rows) < min(drawn)


def test_on_a_small_screen_f4_puts_it_in_the_place_of_the_table() -> None:
    """There is room for one of them."""
    assert "####" not in text(page(Figuring(), figures=Answering()))
    alone = text(page(Figuring(draws=True), figures=Answering()))
    assert "####" in alone
    assert "row 0" not in alone
    assert NO_PICTURE in text(page(Figuring(draws=True), figures=Answering(drawn=False)))
    samples = Figuring(sheet=Sheet.SAMPLES, draws=True)
    assert "row 0" in text(page(samples, figures=Answering()))


def test_the_chosen_row_is_always_in_sight_and_a_click_chooses_another() -> None:
    """Of many rows it says which ones they are."""
    made = page(Figuring(row=35), figures=Answering())
    row = row_with(made, " > row 35")

    assert "of 40   more rows: Down, PgDn" in text(made)
    assert made.given_at(5, row - 1) == Chose("row", "k34")
    assert " > row 39" in text(page(Figuring(row=400), figures=Answering()))


def test_a_click_on_a_name_opens_that_table() -> None:
    """Those that have no room are reached by the arrows, and signs say that there are more."""
    made = page(Figuring(), (120, 40), Answering())
    row = row_with(made, "[Rates]")
    assert made.given_at(made.lines[row].text.index("Load"), row) == Chose("sheet", "load")
    for sheet in Sheet:
        narrow = text(page(Figuring(sheet=sheet), (60, 16), Answering()))
        assert f"[{NAMES[sheet]}]" in narrow
    assert "[Rates]" in (first := text(page(Figuring(), figures=Answering())))
    assert first.splitlines()[3].endswith(" >")


def test_the_course_of_the_chosen_lot_is_what_is_drawn() -> None:
    """Of no other table is a row asked for: it would be counted and drawn for nothing."""
    figures = Answering()
    figures.ask(replace(asked(), sheet=Sheet.SUM))
    for sheet in (Sheet.SUM, Sheet.RATES, Sheet.SUM):
        page(Figuring(sheet=sheet, row=3), (120, 40), figures)

    # In the end what stands there is of another table.
    assert [each.chosen for each in figures.asked[1:]] == ["k3", None, None]


def test_plain_signs_are_asked_for_where_nothing_else_can_be_shown() -> None:
    """The whole page is made of them then."""
    figures = Answering()
    made = text(page(Figuring(), (120, 40), figures, replace(LOOK, glyphs=ASCII)))

    assert figures.asked[-1].plain_signs
    assert made.isascii()


def asked(stretch: Stretch = Stretch.MONTH, sheet: Sheet = Sheet.RATES) -> Asked:
    """What was asked once."""
    return Asked(sheet=sheet, by=By.DAY, stretch=stretch, wide=76, picture=None, plain_signs=False)


def old(stretch: Stretch = Stretch.MONTH, sheet: Sheet = Sheet.RATES) -> Answered:
    """An answer to it."""
    return Answered(asked=asked(stretch, sheet), as_of="10:42", head="h", rows=(("k", "row 0"),))


def test_before_anything_is_counted_it_says_how_far_that_is() -> None:
    """And why, where it cannot be."""
    assert "Being counted." in text(page(Figuring(), figures=Standing(Seen())))
    counting = Seen(state=Counting(what="reading the record", done=1_000, of=4_000))
    assert "reading the record, 1,000 of 4,000 (25 %)" in text(
        page(Figuring(), figures=Standing(counting))
    )
    failed = Seen(state=CountFailed(why="the disk is gone."))
    assert "Nothing could be counted: the disk is gone. F3 tries once more." in text(
        page(Figuring(), figures=Standing(failed))
    )


def test_what_stands_there_says_which_days_it_is_of_while_others_are_counted() -> None:
    """Nobody takes the figures of a month for those of a year."""
    counting = Counting(what="counting cartridges", done=1, of=2)
    made = text(
        page(
            Figuring(stretch=Stretch.YEAR),
            figures=Standing(Seen(answered=old(), state=counting)),
        )
    )
    assert "Rates by day, last 28 days, as of 10:42" in made
    assert "counting cartridges, 1 of 2 (50 %)" in made
    assert "row 0" in made
    other = Seen(answered=old(sheet=Sheet.TIMES))
    assert "row 0" not in text(page(Figuring(), figures=Standing(other)))
    newer = Standing(Seen(answered=old()))
    assert "Being counted." in text(page(Figuring(round=1), figures=newer))


def test_who_has_been_away_shows_nobody_any_of_it() -> None:
    """Of few tests a count is an outcome, and a row may be somebody's name."""
    made = text(page(Figuring(), (120, 40), Answering(), idle=True))

    assert HIDDEN in made
    assert "row 0" not in made
    assert "####" not in made


def test_without_anything_that_counts_there_is_a_title_and_no_more() -> None:
    """It cannot be opened there; and if it were nothing would break."""
    assert "Rates by day, last 28 days" in text(page(Figuring()))


def test_the_keys_that_do_something_are_offered() -> None:
    """What tells nothing apart, and what has no picture, offers neither."""
    rates = page(Figuring(), (120, 40), Answering())
    last = rates.lines[-1].text
    for each in ("Right Next table", "F2 Told apart", "F6 Days", "F4 Picture", "F3 Count anew"):
        assert each in last
    assert rates.given_at(last.index("F3"), 39) == Pressed(Key.DONE)
    samples = page(Figuring(sheet=Sheet.SAMPLES), (120, 40), Answering()).lines[-1].text
    assert "Told apart" not in samples
    assert "Picture" not in samples
    assert "figures" in rates.lines[0].text
