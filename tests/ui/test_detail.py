"""The chosen cartridge opened: what to do next stands before what was done."""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from builders import CLEAR, NASAL, NEGATIVE, SMEAR, THREE_LINES, Bench, at, bands, private, span
from readbell.core.assay.step import Wait
from readbell.core.board.acts import RegisterParty
from readbell.core.board.events import ClockUnsure
from readbell.core.board.fold import fold
from readbell.core.cartridge.acts import DoSteps
from readbell.core.cartridge.events import VoidReason
from readbell.ui.detail import detail
from readbell.ui.glyphs import UNICODE
from ui.busy_board import FACE

if TYPE_CHECKING:
    from readbell.core.reading.bands import Bands


def said(
    bench: Bench,
    now: str,
    *,
    tag: str = "C1",
    width: int = 60,
    height: int = 30,
    masked: bool = False,
) -> str:
    """The panel as text."""
    lines = detail(
        bench.cartridge(tag),
        bench.board,
        at(now),
        UNICODE,
        face=FACE,
        width=width,
        height=height,
        masked=masked,
    )
    assert len(lines) == height
    assert {each.width for each in lines} == {width}
    return "\n".join(" ".join(each.text.split()) for each in lines)


def in_buffer() -> Bench:
    """A bench on which the swab of C1 stands in the buffer since 0:00."""
    bench = Bench()
    bench.label()
    for step in ("buffer", "collect", "extract"):
        bench.step(step, "0:00")
    return bench


def test_the_next_step_stands_in_the_words_of_the_assay() -> None:
    """With the wait that goes before it, and until when."""
    words = said(in_buffer(), "0:20")

    assert "in buffer 0:40" in words
    assert "Next Squeeze and withdraw the swab" in words
    assert "Squeeze the swab out against the wall" in words
    assert "Wait from 00:54:20 to 00:56:20" in words
    assert "Squeeze and withdraw the swab next" in words
    assert "Drops onto the well -" in words


def test_an_open_window_says_to_look_and_when_it_closes() -> None:
    """Clock times stand beside the countdown."""
    bench = Bench()
    bench.to_well()
    words = said(bench, "18:00")

    assert "! READ NOW 4:30" in words
    assert "A faint line is a" in words
    assert "Window opened 01:10:50 closes 01:15:50" in words
    assert "Lot L-100" in words


@pytest.mark.parametrize(
    ("now", "words"),
    [
        ("3:00", "Leave it as it is, and do not move it."),
        ("6:00", "An early look may show a positive."),
        ("23:00", "Take a fresh cartridge and a new specimen."),
    ],
)
def test_after_the_drops_it_says_what_there_is_to_do(now: str, words: str) -> None:
    """Also that there is nothing."""
    bench = Bench()
    bench.to_well()

    assert words in said(bench, now)


def test_what_strayed_and_what_was_stated_is_told_in_words() -> None:
    """Such times are marked everywhere."""
    bench = in_buffer()
    bench.step("withdraw", "4:00")
    bench.must(bench.step_act("apply", done_at="4:30", doubt="0:10"), "5:00")
    words = said(bench, "6:00")

    assert "Strayed in buffer 4:00, longer than 3:00" in words
    assert "stated, not timed: 00:57:40 to 00:58:00" in words.replace("\n", " ")
    assert "narrowed by the doubt" in words.replace("\n", " ")


def test_a_stated_time_without_doubt_has_no_stretch() -> None:
    """It is marked all the same."""
    bench = in_buffer()
    bench.step("withdraw", "1:00")
    bench.must(bench.step_act("apply", done_at="1:30"), "2:00")

    assert "00:54:50, stated, not timed" in said(bench, "3:00")


def test_steps_confirmed_together_are_marked() -> None:
    """None of them has a time of its own."""
    bench = Bench()
    bench.label()
    bench.must(
        DoSteps(aim=bench.aim(), steps=("buffer", "collect", "extract"), new_specimen="s"), "0:30"
    )

    assert said(bench, "0:40").count("together") == 3


def test_an_early_positive_and_a_repeat_are_told() -> None:
    """The one is preliminary, the other has a reason."""
    bench = Bench()
    bench.to_well()
    bench.must(bench.look_act(CLEAR), "6:00")
    words = said(bench, "7:00")
    assert "e+ opens in" in words
    assert "Early + POSITIVE SARS-CoV-2 antigen" in words

    other = Bench()
    other.to_well()
    other.must(other.read_act(SMEAR), "18:00")
    other.label("C2", now="19:00")
    assert "Repeats C1" in said(other, "19:00", tag="C2")


@pytest.mark.parametrize(
    ("seen", "words"), [(NEGATIVE, "read - NEGATIVE"), (SMEAR, "Next Take a fresh cartridge")]
)
def test_a_read_one_shows_its_outcome_and_what_follows(seen: Bands, words: str) -> None:
    """Also how to clear up."""
    bench = Bench()
    bench.to_well()
    bench.must(bench.read_act(seen), "18:00")
    shown = said(bench, "18:10")

    assert words in shown
    assert "biohazard waste" in shown.replace("\n", " ")
    assert "Read 01:11:20" in shown


def test_a_void_one_asks_for_a_fresh_one() -> None:
    """And shows no next step."""
    bench = in_buffer()
    bench.must(bench.void_act(), "0:30")
    words = said(bench, "0:40")

    assert "void" in words
    assert "Take a fresh cartridge" in words
    assert "Squeeze and withdraw the swab -" in words


def test_a_void_one_of_somebody_who_declined_asks_for_nothing() -> None:
    """Nobody is to swab them once more because the screen says so."""
    bench = in_buffer()
    bench.must(replace(bench.void_act(), reason=VoidReason.DECLINED), "0:30")
    words = said(bench, "0:40")

    assert "No repeat is due." in words
    assert "Take a fresh cartridge" not in words


def test_where_another_one_runs_or_has_a_result_no_fresh_one_is_asked_for() -> None:
    """Neither of what was voided nor of what was read as invalid."""
    bench = Bench()
    bench.to_well()
    bench.to_well("C2")
    bench.must(bench.read_act(SMEAR), "18:00")
    shown = said(bench, "18:10").replace("\n", " ")
    assert "No repeat is due: C2 of the same person" in shown
    assert "Take a fresh cartridge" not in shown


def test_an_unsure_clock_asks_two_people() -> None:
    """And shows no window."""
    bench = Bench()
    bench.to_well()
    bench.board = fold(bench.board, ClockUnsure(at=at("3:00"), cartridges=("id-C1",)))
    words = said(bench, "18:00")

    assert "Two people must say when the drops fell" in words
    assert "closes" not in words


def test_no_stated_close_is_said_and_a_wait_without_a_limit_has_none() -> None:
    """Nothing is made up."""
    rules = replace(NASAL.reading, closes=None, closing_warning=span("0:00"))
    steps = tuple(
        replace(each, wait=Wait(until="withdraw", least=span("1:00")))
        if each.key == "extract"
        else each
        for each in NASAL.steps
    )
    bench = Bench(replace(NASAL, reading=rules, steps=steps))
    bench.to_well()
    bench.label("C2", "P-002")
    for step in ("buffer", "collect", "extract"):
        bench.step(step, "0:00", "C2")

    assert "no stated close" in said(bench, "18:00")
    assert "Wait from 00:54:20\n" in said(bench, "0:10", tag="C2")


def test_place_and_party_are_told() -> None:
    """Where it lies, and with whom its person came."""
    bench = Bench()
    bench.must(RegisterParty(by="op-1", party=private("blue car"), persons=(private("P-009"),)))
    bench.must(replace(bench.label_act(person="P-009"), place=private("tray 2")))
    words = said(bench, "0:10")

    assert "Place tray 2" in words
    assert "Party blue car" in words


def test_the_cautions_stand_last_and_give_way_to_the_instruction() -> None:
    """The kit's own instructions come first; the next step is never pushed out."""
    bench = in_buffer()
    assert said(bench, "0:20").rstrip().endswith("A negative does not exclude infection.")

    low = said(bench, "0:20", height=8)
    assert "Next Squeeze and withdraw the swab" in low
    assert "infection" not in low


def test_what_is_next_and_what_strayed_stands_before_what_was_done() -> None:
    """Ten rows are all that a small screen has; the first steps go before either."""
    bench = in_buffer()
    bench.step("withdraw", "4:00")
    low = said(bench, "4:10", width=80, height=9)

    assert "> drops due +0:10" in low
    assert "Next Drops onto the well" in low
    assert "Strayed in buffer 4:00, longer than 3:00" in low
    assert "Drops onto the well next" in low
    assert "Label the cartridge" not in low


def test_the_sign_is_parted_from_its_word() -> None:
    """Two marks fill the column of the sign in the list; here nothing stands between."""
    bench = Bench()
    bench.to_well()

    assert "!! CLOSING 1:30" in said(bench, "21:00")


def test_each_analyte_of_a_reading_is_named() -> None:
    """One outcome for the whole strip does not say which line was there."""
    bench = Bench(THREE_LINES)
    bench.to_well()
    seen = bands(influenza_a="faint", influenza_b="absent", sars_cov_2="clear")
    bench.must(bench.read_act(seen), "18:00")
    words = said(bench, "18:10", width=90)

    assert "Influenza A antigen positive, Influenza B antigen negative" in words


def test_a_masked_panel_names_nobody() -> None:
    """The tag is enough."""
    assert "P-001" not in said(in_buffer(), "0:20", masked=True)


@settings(max_examples=60, deadline=None)
@given(width=st.integers(20, 90), height=st.integers(1, 40), now=st.integers(0, 25))
def test_the_panel_is_exactly_as_large_as_its_place(width: int, height: int, now: int) -> None:
    """Whatever it has to say."""
    bench = Bench()
    bench.to_well()

    said(bench, f"{now + 3}:00", width=width, height=height)
