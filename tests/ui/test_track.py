"""One row of the common axis: nothing on it may promise a reading that is not to be had."""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from builders import NASAL, THREE_LINES, Bench, at, span
from readbell.core.assay.step import Wait
from readbell.core.board.events import ClockUnsure
from readbell.core.board.fold import fold
from readbell.core.cartridge.at_instant import window
from readbell.core.instant import SECOND, Instant
from readbell.phrases.board_words import changes_at
from readbell.ui.glyphs import ASCII, UNICODE, Glyphs
from readbell.ui.ink import Line, Token
from readbell.ui.track import Canvas, Scale, empty_track, painted, track

if TYPE_CHECKING:
    from readbell.core.assay.assay import Assay
    from readbell.core.cartridge.cartridge import Cartridge

PAST, COLUMNS = 6, 79
"""As on a screen of 120 columns."""
OPEN = {UNICODE.window, UNICODE.closing}

DEVELOPING = Bench().to_well()
DROPS = at("2:30")


def in_buffer(assay: Assay = NASAL) -> Cartridge:
    """A cartridge whose swab stands in the buffer since 0:00."""
    bench = Bench(assay)
    bench.label()
    for step in ("buffer", "collect", "extract"):
        bench.step(step, "0:00")
    return bench.cartridge("C1")


def with_wait(wait: Wait) -> Assay:
    """The nasal assay with another wait in the buffer."""
    steps = (replace(each, wait=wait) if each.key == "extract" else each for each in NASAL.steps)
    return replace(NASAL, steps=tuple(steps))


def drawn(
    cartridge: Cartridge,
    now: Instant,
    *,
    seconds: int = 20,
    past: int = PAST,
    columns: int = COLUMNS,
    glyphs: Glyphs = UNICODE,
) -> Line:
    """The track as a line."""
    return track(
        cartridge, now, seconds_a_column=seconds, past=past, columns=columns, glyphs=glyphs
    )


def text(cartridge: Cartridge, now: str, *, glyphs: Glyphs = UNICODE) -> str:
    """The track as plain text without the blanks behind it."""
    return drawn(cartridge, at(now), glyphs=glyphs).text.rstrip()


@pytest.mark.parametrize(
    ("now", "expected"),
    [
        pytest.param("2:30", "      │o·····" + "─" * 39 + "■" * 9 + "═" * 6, id="the drops"),
        pytest.param(
            "2:30.001", "     o│·····" + "─" * 39 + "■" * 9 + "═" * 6, id="just after them"
        ),
        pytest.param("4:29.999", "o·····│" + "─" * 39 + "■" * 9 + "═" * 6, id="before early"),
        pytest.param("17:29.999", "──────│" + "■" * 9 + "═" * 6, id="just before it opens"),
        pytest.param("17:30", "──────│" + "■" * 9 + "═" * 6, id="as it opens"),
        pytest.param("17:30.001", "─────■│" + "■" * 8 + "═" * 6, id="just open"),
        pytest.param("20:29.999", "■■■■■■│" + "═" * 6, id="before the warning"),
        pytest.param("20:30", "■■■■■■│" + "═" * 6, id="the warning"),
        pytest.param("20:30.001", "■■■■■═│" + "═" * 5, id="just warned"),
        pytest.param("22:20", "══════│═", id="the last seconds"),
        pytest.param("22:30", "══════│═", id="the last moment"),
        pytest.param("22:30.001", "═════x│", id="just lapsed"),
        pytest.param("23:50", "══x   │", id="long lapsed"),
        pytest.param("40:00", "      │", id="out of sight"),
    ],
)
def test_each_border_falls_into_the_column_that_holds_it(now: str, expected: str) -> None:
    """Left of the now-line stands what has begun, right of it what is to come."""
    assert text(DEVELOPING, now) == expected


def test_without_an_early_look_the_dead_stretch_lasts_to_the_opening() -> None:
    """A thread would say that something may be seen."""
    cartridge = Bench(THREE_LINES).to_well()

    assert text(cartridge, "2:30") == "      │o" + "·" * 44 + "■" * 9 + "═" * 6


@pytest.mark.parametrize(
    ("now", "expected"),
    [
        pytest.param("0:00", "      │o──■■■■■■", id="as the wait begins"),
        pytest.param("0:35", "    o─│─■■■■■■", id="while it runs"),
        pytest.param("1:00", "   o──│■■■■■■", id="as it is over"),
        pytest.param("1:25", " o──■■│■■■■", id="over"),
        pytest.param("3:01", "■■■■■ │", id="overdue"),
    ],
)
def test_the_wait_and_the_hands_are_a_track_and_the_window_an_empty_slot(
    now: str, expected: str
) -> None:
    """It is foreseen from the usual times, and not promised."""
    shown = text(in_buffer(), now)
    work, slot, tail = shown.partition("[")

    assert work.rstrip() == expected
    assert slot + tail == "[·············]"


def test_the_empty_slot_stands_where_usual_hands_would_open_the_window() -> None:
    """25 s of waiting, 30 s of hands, 15 minutes: 15:55 from now, in the 48th column."""
    assert text(in_buffer(), "0:35").index("[") == PAST + 1 + 47


def test_before_any_wait_nothing_is_foreseen() -> None:
    """Nobody knows when the person will be swabbed."""
    bench = Bench()
    assert text(bench.label(), "0:10") == "      │"
    assert text(bench.step("buffer", "0:10"), "0:20") == "      │"


def test_between_withdrawing_and_the_drops_the_slot_stays() -> None:
    """The window is near and still not promised."""
    bench = Bench()
    bench.label()
    for step in ("buffer", "collect", "extract"):
        bench.step(step, "0:00")
    shown = text(bench.step("withdraw", "1:00"), "1:00")

    assert shown.startswith("   o  │ ")
    assert shown.endswith("[·············]")


def test_a_wait_without_a_limit_draws_only_the_hands() -> None:
    """No bar may say that there is no hurry, or how long."""
    shown = text(in_buffer(with_wait(Wait(until="withdraw", least=span("1:00")))), "0:00")

    assert shown.startswith("      │o──■  ")


def test_a_limit_alone_is_a_thread_as_long_as_it_holds() -> None:
    """As of an open pouch."""
    shown = text(in_buffer(with_wait(Wait(until="withdraw", most=span("2:00")))), "0:00")

    assert shown.partition("[")[0].rstrip() == "      │o─────"


def test_a_wait_whose_limit_may_be_past_shows_no_hands_to_come() -> None:
    """After a restart of unknown length the wait counts as too long."""
    bench = Bench()
    bench.label()
    for step in ("buffer", "collect", "extract"):
        bench.step(step, "0:00")
    bench.board = fold(bench.board, ClockUnsure(at=at("0:20"), cartridges=("id-C1",)))

    assert UNICODE.window not in text(bench.cartridge("C1"), "0:20")


def test_a_window_without_an_end_runs_off_the_edge() -> None:
    """It has no tail that thins."""
    rules = replace(NASAL.reading, closes=None, closing_warning=span("0:00"))
    shown = drawn(Bench(replace(NASAL, reading=rules)).to_well(), at("2:30")).text

    assert shown == "      │o·····" + "─" * 39 + "■" * (COLUMNS - 7 - 45)


def test_a_foreseen_window_without_an_end_has_no_bracket_at_its_end() -> None:
    """Nothing closes it."""
    rules = replace(NASAL.reading, closes=None, closing_warning=span("0:00"))

    shown = text(in_buffer(replace(NASAL, reading=rules)), "0:00")

    assert len(shown) == COLUMNS
    assert set(shown.partition("[")[2]) == {UNICODE.slot}


@pytest.mark.parametrize("scale", [(10, 18, 137), (20, 6, 79), (30, 3, 43)])
@pytest.mark.parametrize(
    "made", ["labelled", "in buffer", "no limit", "limit alone", "withdrawn", "drops"]
)
def test_until_it_ends_a_track_looks_the_same(made: str, scale: tuple[int, int, int]) -> None:
    """From end to end through three quarters of an hour: no cell comes too early or too late."""
    cartridge, now = in_work(made), at("0:00.007")
    laid_out = Scale(seconds_a_column=scale[0], past=scale[1], columns=scale[2])
    while now < at("48:00"):
        canvas = painted(cartridge, now, laid_out, UNICODE)
        ends = min(canvas.ends, changes_at(cartridge, now), at("48:00"))
        assert ends > now
        for instant in (Instant((now + ends) // 2), Instant(ends - 1)):
            assert painted(cartridge, instant, laid_out, UNICODE).line() == canvas.line()
        now = ends


def test_a_slot_of_any_length_is_seen_to_come_onto_the_axis() -> None:
    """Its far end is drawn in the cell before the one in which it falls."""
    laid_out = Scale(seconds_a_column=20, past=6, columns=20)
    opens, closes, now = at("10:00"), at("15:07"), at("0:00")
    while now < closes:
        canvas = Canvas(laid_out, now, UNICODE.now)
        canvas.slot(opens, closes, UNICODE)
        last = Canvas(laid_out, Instant(canvas.ends - 1), UNICODE.now)
        last.slot(opens, closes, UNICODE)
        assert last.line() == canvas.line()
        assert canvas.ends > now
        now = canvas.ends


def in_work(made: str) -> Cartridge:
    """A cartridge as far as its name says."""
    match made:
        case "labelled":
            return Bench().label()
        case "no limit":
            return in_buffer(with_wait(Wait(until="withdraw", least=span("1:00"))))
        case "limit alone":
            return in_buffer(with_wait(Wait(until="withdraw", most=span("2:00"))))
        case "drops":
            return DEVELOPING
    bench = Bench()
    bench.label()
    for step in ("buffer", "collect", "extract"):
        bench.step(step, "0:00")
    return bench.cartridge("C1") if made == "in buffer" else bench.step("withdraw", "1:00")


def test_an_unsure_clock_draws_no_window() -> None:
    """An open window on a doubtful clock would be a trap."""
    bench = Bench()
    bench.to_well()
    bench.board = fold(bench.board, ClockUnsure(at=at("3:00"), cartridges=("id-C1",)))

    for now in ("4:00", "18:00", "21:00"):
        assert text(bench.cartridge("C1"), now) == "      │"


def test_a_stated_application_narrows_the_bar() -> None:
    """It opens by the latest and closes by the earliest the drops may have fallen."""
    bench = Bench()
    bench.label()
    for step in ("buffer", "collect", "extract"):
        bench.step(step, "0:00")
    bench.step("withdraw", "1:00")
    bench.must(bench.step_act("apply", done_at="2:00", doubt="0:40"), "4:00")
    shown = text(bench.cartridge("C1"), "2:00")

    assert shown.index("■") == PAST + 1 + 47
    assert len(shown) == PAST + 1 + 58


@pytest.mark.parametrize(
    ("now", "token"),
    [
        pytest.param("10:00", Token.WINDOW, id="to come"),
        pytest.param("18:00", Token.EYES, id="open"),
        pytest.param("21:00", Token.SHORT, id="closing"),
        pytest.param("22:31", Token.LOST, id="lapsed"),
    ],
)
def test_the_bar_has_the_colour_of_its_state(now: str, token: Token) -> None:
    """Third, after word and place."""
    pieces = drawn(DEVELOPING, at(now)).pieces
    assert {piece.token for piece in pieces if set(piece.text) & (OPEN | {"x"})} == {token}


def test_in_plain_letters_the_same_is_drawn() -> None:
    """A terminal without line drawing loses nothing."""
    assert text(DEVELOPING, "18:00", glyphs=ASCII) == "----##|#######======"
    assert text(DEVELOPING, "2:50", glyphs=ASCII).startswith("     o|.....---")


ANY_SCALE = st.tuples(st.integers(1, 60), st.integers(0, 20), st.integers(1, 200))


@settings(max_examples=300, deadline=None)
@given(elapsed=st.integers(-60_000, 30 * 60_000), scale=ANY_SCALE)
def test_a_window_is_never_drawn_in_a_column_that_lies_before_it(
    elapsed: int, scale: tuple[int, int, int]
) -> None:
    """Nor in one that lies behind it; and the width is exact on any scale."""
    seconds, past, future = scale
    now = Instant(DROPS + elapsed)
    shown = drawn(DEVELOPING, now, seconds=seconds, past=past, columns=past + 1 + future).text
    span_of = window(DEVELOPING)
    assert span_of is not None
    assert span_of.closes is not None

    assert len(shown) == past + 1 + future
    assert shown[past] == UNICODE.now
    for cell, glyph in enumerate(shown):
        if glyph in OPEN:
            step = cell - past - (cell > past)
            begins = now + step * seconds * SECOND
            assert begins + seconds * SECOND > span_of.opens
            assert begins <= span_of.closes


@settings(max_examples=200, deadline=None)
@given(elapsed=st.integers(0, 40 * 60_000), scale=ANY_SCALE)
def test_left_of_the_line_stands_a_window_only_once_it_has_opened(
    elapsed: int, scale: tuple[int, int, int]
) -> None:
    """The picture says the same as the word."""
    seconds, past, future = scale
    now = Instant(DROPS + elapsed)
    shown = drawn(DEVELOPING, now, seconds=seconds, past=past, columns=past + 1 + future).text
    span_of = window(DEVELOPING)
    assert span_of is not None
    assert span_of.closes is not None

    if OPEN & set(shown[:past]):
        assert now > span_of.opens
    if now > span_of.closes:
        assert not OPEN & set(shown[past:])


@settings(max_examples=200, deadline=None)
@given(elapsed=st.integers(0, 10 * 60_000), scale=ANY_SCALE)
def test_the_track_of_a_wait_is_as_wide_as_any(elapsed: int, scale: tuple[int, int, int]) -> None:
    """Whatever falls outside is left out, not wrapped."""
    seconds, past, future = scale
    shown = drawn(
        in_buffer(),
        Instant(at("0:00") + elapsed),
        seconds=seconds,
        past=past,
        columns=past + 1 + future,
    ).text

    assert len(shown) == past + 1 + future
    assert shown[past] == UNICODE.now


def test_an_empty_track_is_the_now_line_alone() -> None:
    """It never breaks off where there is no cartridge."""
    scale = Scale(seconds_a_column=20, past=2, columns=5)

    assert empty_track(scale, UNICODE).text == "  │  "
