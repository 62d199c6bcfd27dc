"""The bench in lines: what eyes and ears would tell, told once, and no word for what a strip comes to."""

from __future__ import annotations

from dataclasses import replace

import pytest

from readbell.core.practice.assist import Assist
from readbell.core.reading.bands import Unreadable
from readbell.core.rehearsal.virtual_cartridge import Drawn, Shade
from readbell.hand.doing import Judging, Purpose, Watching
from readbell.phrases.bench_words import COVERED, OVER
from readbell.ui.bench_aloud import (
    COLOURS,
    NOTHING_CHOSEN,
    SPOILT,
    Heard,
    began_aloud,
    bench_aloud,
    newly_aloud,
    strip_aloud,
)
from ui.test_bench_band import DEVICE, QUESTION, TEACHING, bench, stand

GIVEN_AWAY = ("positive", "negative", "invalid", "faint", "present", "absent", "line")


@pytest.mark.parametrize("shade", list(Shade))
@pytest.mark.parametrize("control", [True, False])
def test_a_strip_is_told_by_its_colour_and_never_by_what_it_comes_to(
    shade: Shade, control: bool
) -> None:
    """The words of a reading are for whoever reads it; four shades are four tellings."""
    device = replace(DEVICE, drawn=Drawn(control=control, lines=(("antigen", shade),)))
    said = strip_aloud(device, stand())

    at_control = "strong colour" if control else "no colour"
    assert said == f"Strip of C01: at C {at_control}; at T {COLOURS[shade]}."
    assert not [each for each in GIVEN_AWAY if each in said]
    assert len(set(COLOURS.values())) == len(Shade)


@pytest.mark.parametrize("spoilt", list(Unreadable))
def test_what_spoils_a_strip_is_told_behind_its_marks(spoilt: Unreadable) -> None:
    """A smear lies over the lines and does not hide that something may be under it."""
    drawn = Drawn(control=True, lines=(("antigen", Shade.CLEAR),), spoilt=spoilt)
    said = strip_aloud(replace(DEVICE, drawn=drawn), stand())

    assert said.endswith(f" But {SPOILT[spoilt]}.")
    assert not [each for each in GIVEN_AWAY if each in said]


def test_how_far_the_fluid_has_run_is_told_while_it_runs() -> None:
    """Before it has come to the control line nothing on the strip means anything."""
    drawn = Drawn(control=False, lines=(("antigen", Shade.ABSENT),), front=340)

    assert strip_aloud(replace(DEVICE, drawn=drawn), stand()).endswith(
        "The fluid still runs: 3 tenths of the way."
    )


def test_in_an_examination_a_strip_is_covered_while_the_clock_stands() -> None:
    """In lines as on the screen: nobody gains time by looking."""
    assert strip_aloud(DEVICE, stand(0, Assist.SILENT)) == COVERED
    assert COVERED not in strip_aloud(DEVICE, stand(0, Assist.FULL))


def test_the_goal_and_the_teaching_are_told_with_full_help_alone() -> None:
    """A goal may give away what is to be found."""
    assert [*began_aloud(stand())] == [
        "Goal: Read both. F7 begins.",
        f"To practise: {TEACHING}",
    ]
    for assist in (Assist.ALARMS, Assist.SILENT):
        assert "Read both" not in " ".join(began_aloud(stand(assist=assist)))
        assert TEACHING not in " ".join(began_aloud(stand(assist=assist)))


def test_what_is_new_is_told_once_and_what_broke_in_first() -> None:
    """Whoever listens hears each thing as it comes, and not again with every line."""
    told, lines = newly_aloud(Heard(), bench(call=QUESTION), stand(), Watching())
    again, nothing = newly_aloud(told, bench(call=QUESTION), stand(), Watching())

    assert lines == (
        "! QUESTION: A colleague asks: which lot is open? Type the answer, then F10.",
        "Before you: 2 together, P-001 / P-002.",
        "Badges: op-1, op-2. On the shelf: L-100 (good through 2026-12-31).",
        (
            "C01 on the bench, marked P-001. Its pouch: good through 2026-12-31. Respiratory antigen, "
            "nasal swab. They say: P-001 (Ada Vale)."
        ),
    )
    assert nothing == ()
    assert newly_aloud(again, bench(come=3), stand(), Watching())[1] == (
        "Before you: 3 together, P-001 / P-002 / P-003.",
    )
    assert newly_aloud(again, bench(is_over=True), stand(), Watching())[1] == (OVER,)


def test_what_broke_in_behind_a_question_is_told_as_it_comes() -> None:
    """It does not wait until the question is answered: somebody is gone already."""
    told, _ = newly_aloud(Heard(), bench(call=QUESTION), stand(), Watching())
    away = replace(QUESTION, number=2)

    assert newly_aloud(told, bench(call=QUESTION, behind=(away,)), stand(), Watching())[1] == (
        "! QUESTION: A colleague asks: which lot is open? Type the answer, then F10.",
    )
    # Once the first is answered the other is the first, and was told.
    told, _ = newly_aloud(told, bench(call=QUESTION, behind=(away,)), stand(), Watching())
    assert newly_aloud(told, bench(call=away), stand(), Watching())[1] == ()


def test_a_label_that_was_swapped_is_told_as_it_comes() -> None:
    """It is seen on the device alone: another's name stands there from now on."""
    told, _ = newly_aloud(Heard(), bench(), stand(), Watching())
    other = bench(device=replace(DEVICE, written="P-002"))

    (line,) = newly_aloud(told, other, stand(), Watching())[1]
    assert line.startswith("C01 on the bench, marked P-002.")


def test_the_strip_is_told_as_the_form_for_it_opens() -> None:
    """Nobody is asked what they see who was not shown it."""
    told, _ = newly_aloud(Heard(), bench(), stand(), Watching())
    doing = Judging(cartridge="id-C01", purpose=Purpose.READ)
    told, lines = newly_aloud(told, bench(), stand(), doing)

    assert lines == ("Strip of C01: at C strong colour; at T weak colour.",)
    assert newly_aloud(told, bench(), stand(), doing)[1] == ()


def test_all_that_is_there_can_be_asked_for() -> None:
    """Whoever was told long ago asks again."""
    assert next(iter(bench_aloud(bench(call=QUESTION), stand()))).startswith("! QUESTION: ")
    assert list(bench_aloud(bench(), stand()))[-1].startswith("Strip of C01: ")
    assert list(bench_aloud(bench(device=None), stand()))[-1] == NOTHING_CHOSEN
