"""What is in hand while the board stays: a step, a label, people who came, a void."""

from __future__ import annotations

from dataclasses import replace

import pytest

from builders import NASAL, THREE_LINES, TODAY, Bench, at
from readbell.core.board.acts import OpenLot
from readbell.core.board.which_box import WhichBox, Why
from readbell.core.cartridge.acts import DoSteps
from readbell.core.cartridge.events import How, TakeBackReason
from readbell.hand.doing import Gathering, Labelling, Stepping, TakingBack, Voiding
from readbell.hand.voiding import PICKED
from readbell.ui.task_panel import task_panel
from ui.busy_board import busy_bench
from ui.pages import SIZES, painted, present, text

BOARD = busy_bench().board
LABELLING = Labelling(person="P-0412", person_by=How.SCANNED)
MANY = Gathering(persons=tuple(f"P-{n:03}" for n in range(14)))


def test_a_step_is_told_in_the_words_of_the_assay_and_says_what_would_be_recorded() -> None:
    """Whoever holds the swab reads nothing twice."""
    page = text(painted(present(BOARD, Stepping(cartridge="id-C25", until="extract")), 120, 40))

    assert "C25  Buffer into the tube, Take the swab, Swab into the buffer   together" in page
    assert "Let 8 drops of buffer fall" in page
    assert "Then in buffer: it is timed from here." in page
    assert "When" in page


@pytest.mark.parametrize("size", [*SIZES, (60, 16), (36, 12)])
def test_up_to_which_step_and_when_are_in_sight_on_any_screen(size: tuple[int, int]) -> None:
    """Instructions give way; what is recorded never does."""
    doing = Stepping(cartridge="id-C25", until="collect")
    page = text(painted(present(BOARD, doing), *size))

    assert "Take the swab" in page
    assert "now" in page.split("Done up to")[1]


def test_without_room_the_options_of_a_step_fold_and_the_instruction_is_cut_last() -> None:
    """At the least height the title and what is recorded are left."""
    scene = present(BOARD).scene
    made = task_panel(Stepping(cartridge="id-C25", until="extract"), scene, 60, 3)

    assert [each.text.split()[0] for each in made.lines] == ["C25", "Done", "When"]


def test_a_step_of_a_cartridge_that_is_gone_or_done_is_an_empty_panel() -> None:
    """The hand lets go at its next tick."""
    scene = present(BOARD).scene

    assert task_panel(Stepping(cartridge="gone", until="x"), scene, 60, 9).lines == ()
    assert task_panel(Stepping(cartridge="id-C09", until="x"), scene, 60, 9).lines == ()
    assert task_panel(Voiding(cartridge="gone"), scene, 60, 9).lines == ()
    assert task_panel(TakingBack(cartridge="gone", step="x"), scene, 60, 9).lines == ()


def test_a_turn_shows_whose_it_is_the_open_box_and_what_is_left() -> None:
    """Their ID large, and only one pouch."""
    bench = Bench(units=20)
    bench.must(OpenLot(by="op-1", lot="L-100", today=TODAY))
    scene = present(bench.board).scene
    made = "\n".join(each.text for each in task_panel(LABELLING, scene, 100, 9).lines)

    assert "P-0412   lot L-100, good to 2026-12-31   20 left" in made
    assert f"{NASAL.title}. Another box: scan it." in made
    assert "its lot and last day held against these" in made
    assert "write C01 on it, then F2" in made
    assert "Only now: open one pouch" in made


def test_whoever_gets_another_cartridge_is_said_what_the_open_box_tests_for() -> None:
    """Two swabs of one person for two kits: a lot number says to nobody which of them comes next."""
    bench = Bench()
    bench.must(OpenLot(by="op-1", lot="L-100", today=TODAY))
    doing = Labelling(person="P-0412", person_by=How.SCANNED, again=True)
    made = "\n".join(
        each.text for each in task_panel(doing, present(bench.board).scene, 100, 9).lines
    )

    assert f"The open box: {NASAL.title}." in made


def two_kits() -> Bench:
    """A bench with a box of each of two kits open, that of the second in front."""
    bench = Bench(units=20)
    bench.adopt(THREE_LINES)
    bench.receive("L-300", THREE_LINES)
    for lot in ("L-100", "L-300"):
        bench.must(OpenLot(by="op-1", lot=lot, today=TODAY))
    return bench


def test_a_turn_says_that_another_box_may_be_taken_by_a_key() -> None:
    """In the room that there is: the other kit itself is named in the words below."""
    bench = two_kits()
    made = [each.text for each in task_panel(LABELLING, present(bench.board).scene, 80, 9).lines]

    assert "lot L-300, good to 2026-12-31   20 left" in made[0]
    told = " ".join(" ".join(made).split())
    assert f"{THREE_LINES.title}. Another box: scan it, or F4." in told
    assert "write the person's ID on the cartridge." in told, "nothing was pushed off the panel"


def test_a_turn_shows_the_box_that_it_is_from_and_why() -> None:
    """Not the one in front, where a repeat is of the other kit."""
    doing = replace(LABELLING, box=WhichBox("L-100", Why.REPEAT, "C07"))
    made = [each.text for each in task_panel(doing, present(two_kits().board).scene, 80, 9).lines]

    assert "lot L-100" in made[0]
    told = " ".join(" ".join(made).split())
    assert f"{NASAL.title}. C07 is to be repeated. Another box: scan it, or F4." in told
    assert len(made) < 9


def test_a_turn_with_no_box_in_front_says_so() -> None:
    """The one that is open is of another kit; a key takes it all the same."""
    bench = two_kits()
    bench.must(bench.hold_act("L-300"))
    made = task_panel(LABELLING, present(bench.board).scene, 80, 9).lines[0].text

    assert "No box is in front: scan its lot, or F4." in made


def test_a_turn_without_an_open_box_says_what_is_missing() -> None:
    """And what comes first."""
    scene = present(BOARD).scene
    made = task_panel(LABELLING, scene, 60, 9).lines[0].text

    assert "No box is open: scan its lot." in made


def test_the_last_person_scanned_is_in_sight_and_a_long_list_is_cut_above() -> None:
    """It is what is to be read back."""
    scene = present(BOARD).scene
    made = [each.text for each in task_panel(MANY, scene, 80, 5).lines]

    assert made[0].strip() == "Who is here   14 so far"
    assert "14  P-013" in made[3]
    assert "nobody yet" in task_panel(Gathering(), scene, 80, 5).lines[0].text


def test_where_they_wait_stands_beside_who_is_here() -> None:
    """So that it is seen before they are entered."""
    scene = present(BOARD).scene
    made = task_panel(Gathering(lane="lane 2"), scene, 80, 5).lines[0].text
    assert made.strip() == "Who is here   nobody yet   lane 2"


def test_once_nobody_is_there_what_was_scanned_is_hidden() -> None:
    """A form left open is a list of names on a screen."""
    scene = present(BOARD).scene
    gathered = "".join(each.text for each in task_panel(MANY, scene, 80, 9, masked=True).lines)
    turn = task_panel(LABELLING, scene, 80, 9, masked=True).lines[0].text

    assert "P-0" not in gathered
    assert "P-0" not in turn


@pytest.mark.parametrize("reason", PICKED)
@pytest.mark.parametrize("size", [*SIZES, (60, 16), (36, 12), (20, 8)])
def test_the_chosen_reason_of_a_void_is_in_sight(reason: str, size: tuple[int, int]) -> None:
    """With nine reasons, and a few rows."""
    page = text(painted(present(BOARD, Voiding(cartridge="id-C22", reason=reason)), *size))

    assert "Void C22" in page
    assert page.count("[") >= 1
    assert "]" in page


def test_of_a_void_it_is_said_what_follows() -> None:
    """A fresh cartridge; of somebody who declined nothing does."""
    scene = present(BOARD).scene
    for reason, follows in (
        (None, "a fresh cartridge and a new specimen follow"),
        ("dropped", "a fresh cartridge and a new specimen follow"),
        ("declined", "no repeat is due"),
    ):
        made = task_panel(Voiding(cartridge="id-C22", reason=reason), scene, 80, 12)
        assert made.lines[0].text.strip() == f"Void C22   {follows}"


def test_another_cartridge_for_somebody_is_asked_for_and_no_pouch_opened_yet() -> None:
    """A scan of a person who was read a moment ago must not lead to an open pouch."""
    doing = Labelling(person="P-0415", person_by=How.SCANNED, again=True)
    shown = "\n".join(
        each.text for each in task_panel(doing, present(busy_bench().board).scene, 80, 8).lines
    )

    assert "F2 begins another" in shown
    assert "open one pouch" not in shown
    assert "To go on with the one they have, scan it itself." in " ".join(shown.split())


def test_whoever_has_none_that_runs_is_not_said_to_have_one() -> None:
    """There is nothing to go on with after an invalid one."""
    bench = Bench()
    bench.to_well()
    bench.must(bench.void_act(), "5:00")
    doing = Labelling(person="P-001", person_by=How.SCANNED, again=True)
    lines = task_panel(doing, present(bench.board, now=at("6:00")).scene, 80, 8).lines
    shown = " ".join(" ".join(each.text for each in lines).split())

    assert "F2 begins another" in shown
    assert "the one they have" not in shown


def test_a_doubted_label_is_what_the_panel_says_the_key_takes() -> None:
    """Nobody who reads C26 there records the card of the next in the car."""
    made = task_panel(replace(LABELLING, doubted="P-0999"), present(BOARD).scene, 100, 9)
    words = " ".join(each.text for each in made.lines)
    assert "F2 takes what was scanned" in words
    assert "write C" not in words


@pytest.mark.parametrize("reason", [str(each) for each in TakeBackReason])
@pytest.mark.parametrize("size", [*SIZES, (60, 16), (36, 12), (20, 8)])
def test_what_is_taken_back_and_the_chosen_reason_are_in_sight(
    reason: str, size: tuple[int, int]
) -> None:
    """On any screen; who confirmed it and what follows where there is room."""
    doing = TakingBack(cartridge="id-C22", step="extract", reason=reason)
    page = text(painted(present(BOARD, doing), *size))

    assert "Take back" in page
    assert "C22" in page
    assert "]" in page


def test_of_what_is_taken_back_it_is_said_who_confirmed_it_when_and_what_follows() -> None:
    """One press may have confirmed several steps: all of them are named, and counted."""
    bench = Bench()
    bench.label()
    steps = ("buffer", "collect", "extract")
    bench.must(DoSteps(aim=bench.aim(), steps=steps, new_specimen="s"), "0:10")
    doing = TakingBack(cartridge="id-C1", step="extract")
    scene = present(bench.board).scene
    made = " ".join(each.text.strip() for each in task_panel(doing, scene, 120, 12).lines)

    assert "Take back on C1   Buffer into the tube, Take the swab, Swab into the buffer" in made
    assert "by op-1, 3 steps by one press." in made
    assert "It then counts as not done; confirm it again once it is. The record keeps both." in made
    bench.step("withdraw", "1:10")
    made = " ".join(
        each.text.strip() for each in task_panel(doing, present(bench.board).scene, 120, 12).lines
    )
    assert "Somebody has gone on with it meanwhile: nothing of this is taken back." in made
