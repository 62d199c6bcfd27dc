"""Where, who and when; and what everybody must be told."""

from __future__ import annotations

from zoneinfo import ZoneInfo

import pytest

from builders import Bench, at
from readbell.core.board.events import Mode
from readbell.core.instant import Span
from readbell.phrases.clock_time import ClockFace
from readbell.ui.header import Health, header, notice
from readbell.ui.ink import Token

LONDON = ClockFace(zone=ZoneInfo("Europe/London"))
LIVE = Bench(mode=Mode.LIVE).board
DRILL = Bench().board
NOW = at("10:00")


def test_place_operators_date_and_time_with_its_offset() -> None:
    """Checked once, so it is small and still; who acts is marked in words."""
    line = header(
        LIVE, NOW, 120, face=LONDON, signed_on=("op-1", "op-2"), acting="op-2", page="Read"
    )

    assert line.width == 120
    assert line.text.startswith(" Harrow Quay   Read  ")
    assert line.text.rstrip().endswith("op-2 acts   op-1   Sun 29 Mar 2026   02:03:20 +01:00")


def test_nobody_signed_on_leaves_no_gap() -> None:
    """And nobody acting marks nobody."""
    assert header(LIVE, NOW, 80, face=LONDON).text.split() == (
        ["Harrow", "Quay", "Sun", "29", "Mar", "2026", "02:03:20", "+01:00"]
    )
    assert "acts" not in header(LIVE, NOW, 80, face=LONDON, signed_on=("op-1",)).text


@pytest.mark.parametrize("width", [20, 34, 40, 60, 80, 120])
def test_a_rehearsal_never_passes_for_work(width: int) -> None:
    """However narrow the screen; the time stays too."""
    line = header(DRILL, NOW, width, face=LONDON, signed_on=("op-1", "op-2"), acting="op-1")

    assert line.width == width
    if width >= 34:
        assert "REHEARSAL" in line.text
    assert "02:03:20" in line.text
    assert "REHEARSAL" not in header(LIVE, NOW, width, face=LONDON).text


def test_all_well_takes_no_line() -> None:
    """Calm when there is nothing to say."""
    assert notice(NOW, 80, face=LONDON) is None
    assert notice(NOW, 80, face=LONDON, health=Health(late=Span(2000))) is None
    assert notice(NOW, 80, face=LONDON, health=Health(muted_until=NOW)) is None


def test_not_saved_fills_the_line_and_counts_up() -> None:
    """It cannot be overlooked or put away."""
    health = Health(not_saved_since=at("8:30"), why_not_saved="Disk full.")
    line = notice(NOW, 120, face=LONDON, health=health)

    assert line is not None
    assert line.text.strip() == (
        "NOT SAVED since 02:01:50, +1:30. Write results on paper. Disk full."
    )
    assert {piece.token for piece in line.pieces} == {Token.SHORT_FILL}


def test_several_troubles_stand_side_by_side_and_shorten() -> None:
    """The gravest first, none left out."""
    health = Health(
        not_saved_since=at("8:30"),
        why_not_saved="Disk full",
        no_sound=True,
        late=Span(6_000),
        muted_until=at("12:00"),
        told="The clock jumped 61 s. Check C03.",
    )
    wide, narrow = (notice(NOW, width, face=LONDON, health=health) for width in (200, 80))

    assert wide is not None
    assert narrow is not None
    assert wide.width == 200
    assert wide.text.index("NOT SAVED") < wide.text.index("SCREEN LATE 6 s: trust the sound")
    assert "NO SOUND. Work by eye." in wide.text
    assert "The clock jumped" in wide.text
    assert narrow.width == 80
    assert narrow.text.startswith(" NOT SAVED. Use paper.   SCREEN LATE 6 s   NO SOUND   MUTED")
    assert narrow.text.endswith(" ..")  # there is more of it


@pytest.mark.parametrize("width", [60, 80, 120])
def test_over_the_header_who_acts_and_the_time_stay(width: int) -> None:
    """Whose name stands under what is done must be seen even while nothing is saved."""
    health = Health(not_saved_since=at("8:30"), why_not_saved="the disk is full.", no_sound=True)
    line = notice(NOW, width, face=LONDON, health=health, acting="op-1", covers=True)

    assert line is not None
    assert line.width == width
    assert line.text.startswith(" NOT SAVED")
    assert "NO SOUND" in line.text
    assert line.text.rstrip().endswith("op-1 acts   02:03:20")


def test_over_a_narrow_header_the_words_go_before_the_trouble() -> None:
    """The trouble is what must be told."""
    health = Health(not_saved_since=at("8:30"), no_sound=True)
    line = notice(NOW, 36, face=LONDON, health=health, acting="op-1", covers=True)

    assert line is not None
    assert "NOT SAVED. Use paper.   NO SOUND" in line.text


def test_a_mute_is_told_beside_a_missing_sound() -> None:
    """The one is not the reason of the other, and each ends by itself."""
    health = Health(no_sound=True, muted_until=at("12:00"))
    line = notice(NOW, 120, face=LONDON, health=health)

    assert line is not None
    assert "NO SOUND. Work by eye.   MUTED until 02:05:20" in line.text


def test_a_reason_is_told_as_a_sentence() -> None:
    """It follows a full stop."""
    health = Health(not_saved_since=at("8:30"), why_not_saved="the disk is full.")
    line = notice(NOW, 120, face=LONDON, health=health)

    assert line is not None
    assert "on paper. The disk is full." in line.text


def test_a_mute_says_until_when() -> None:
    """And ends by itself."""
    line = notice(NOW, 80, face=LONDON, health=Health(muted_until=at("12:00")))

    assert line is not None
    assert line.text.strip() == "MUTED until 02:05:20"


def test_a_board_without_a_bay_has_a_header_too() -> None:
    """Before the first start there is no name."""
    assert header(type(LIVE)(), NOW, 40, face=LONDON).width == 40


CHECKING = ("records being checked: 43 %", "checked 43 %")


@pytest.mark.parametrize(
    ("width", "operators", "said"),
    [
        pytest.param(120, ("op-1",), "records being checked: 43 %", id="all of it"),
        pytest.param(80, ("op-1",), "checked 43 %", id="fewer words"),
        pytest.param(80, ("op-1", "op-2"), "checked 43 %", id="without the date"),
    ],
)
def test_how_the_check_of_the_record_goes_stands_in_the_header(
    width: int, operators: tuple[str, ...], said: str
) -> None:
    """Until it is done nobody knows whether the record is whole, and everybody may see so."""
    text = header(
        LIVE, NOW, width, face=LONDON, signed_on=operators, acting="op-1", record=CHECKING
    ).text

    assert len(text) == width
    assert f"Harrow Quay   {said}   " in text
    assert all(each in text for each in (*operators, "02:03:20 +01:00"))


def test_that_all_is_well_takes_the_place_of_nothing() -> None:
    """It is said where there is room, and who acts and the date go before it."""
    wide, narrow = (
        header(
            LIVE, NOW, width, face=LONDON, signed_on=("op-1",), record=("records checked, whole",)
        )
        for width in (120, 60)
    )

    assert "records checked, whole" in wide.text
    assert "records" not in narrow.text
    assert "2026" in narrow.text


@pytest.mark.parametrize("width", [20, 40, 80, 120, 200])
def test_a_broken_record_fills_the_line_on_every_page(width: int) -> None:
    """Nobody may be started, so nobody may miss it."""
    health = Health(
        broken=("RECORD BROKEN at event 7. Start nobody.", "RECORD BROKEN at 7", "RECORD BROKEN")
    )

    line = notice(NOW, width, face=LONDON, health=health)

    assert line is not None
    assert line.width == width
    assert line.text.strip().startswith("RECORD BROKEN")
    assert {each.token for each in line.pieces} == {Token.SHORT_FILL}


@pytest.mark.parametrize("width", [40, 60, 80, 100, 120])
def test_what_is_due_never_pushes_away_who_acts_and_the_time(width: int) -> None:
    """As many marks as there is room for, the first first."""
    dues = ("temperature due", "samples due", "shift since 07:58")
    bare = header(LIVE, NOW, width, face=LONDON, acting="op-1", page="rooms").text
    said = header(LIVE, NOW, width, face=LONDON, acting="op-1", page="rooms", dues=dues).text

    assert ("op-1 acts" in said, "02:03:20" in said) == ("op-1 acts" in bare, "02:03:20" in bare)
    shown = [each in said for each in dues]
    assert shown == sorted(shown, reverse=True)
    assert all(shown) is (width >= 120)
    assert any(shown) is (width >= 80)


def test_what_is_due_stands_behind_the_trouble_that_covers_the_header() -> None:
    """On 24 rows somebody who was told wrong would else be forgotten while there is no sound."""
    marks = ("tell: put right", "1 to send", "samples due")
    health = Health(no_sound=True)
    line = notice(NOW, 80, face=LONDON, health=health, acting="op-1", covers=True, dues=marks)

    assert line is not None
    assert line.width == 80
    assert "NO SOUND. Work by eye.   tell: put right" in line.text
    assert "samples due" not in line.text
    assert line.text.rstrip().endswith("op-1 acts   02:03:20")
