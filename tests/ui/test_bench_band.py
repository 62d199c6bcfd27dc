"""The rows a rehearsal takes: marked on every size, told without colour, and never in the way."""

from __future__ import annotations

from dataclasses import replace
from datetime import date

import pytest

from readbell.bay.rehearsal_bench import BoxSeen, BrokenIn, Device, OnBench, Papers
from readbell.core.instant import Span
from readbell.core.practice.assist import Assist
from readbell.core.rehearsal.scenario import Interruption, InterruptionKind
from readbell.core.rehearsal.virtual_cartridge import Drawn, Shade
from readbell.hand.given import Steer, Steered
from readbell.phrases.bench_words import COVERED, LEVELS, NOTHING_CHOSEN, OVER
from readbell.ui.bench_band import Band, Stand, band, band_rows
from readbell.ui.glyphs import UNICODE
from readbell.ui.ink import Token

SIZES = ((20, 8), (36, 12), (60, 16), (79, 23), (80, 24), (120, 40), (200, 60))
TEACHING = "A faint line is a line."
DEVICE = Device(
    label="C01",
    pouch="Respiratory antigen, nasal swab",
    expires=date(2026, 12, 31),
    written="P-001",
    marks=("C", "T"),
    drawn=Drawn(control=True, lines=(("antigen", Shade.FAINT),)),
    papers=Papers(person="P-001", beside=("Ada Vale",)),
)
QUESTION = BrokenIn(
    number=1,
    interruption=Interruption(
        at=Span(0),
        kind=InterruptionKind.QUESTION,
        says="A colleague asks: which lot is open?",
        answers=("L-100",),
    ),
)


def bench(
    *,
    device: Device | None = DEVICE,
    call: BrokenIn | None = None,
    behind: tuple[BrokenIn, ...] = (),
    is_over: bool = False,
    lie_here: bool = True,
    come: int = 2,
) -> OnBench:
    """Return a bench with so many people before it, who came together."""
    together = tuple(Papers(person=f"P-{number:03}") for number in range(1, come + 1))
    return OnBench(
        waiting=() if is_over else (together,),
        boxes=(BoxSeen(number="L-100", expires=date(2026, 12, 31)),),
        badges=("op-1", "op-2"),
        call=call,
        calls=0 if call is None else 1 + len(behind),
        behind=behind,
        device=device,
        lie_here=lie_here,
        is_over=is_over,
    )


def stand(
    speed: int = 4, assist: Assist = Assist.FULL, *, begun: bool = True, goal: str = "Read both."
) -> Stand:
    """Return how it stands."""
    return Stand(speed=speed, assist=assist, goal=goal, teaching=TEACHING, begun=begun)


def text(made: Band) -> str:
    """Return it as it is read without colour."""
    return "\n".join(each.text.rstrip() for each in made.lines)


@pytest.mark.parametrize(("width", "height"), SIZES)
@pytest.mark.parametrize("assist", Assist)
@pytest.mark.parametrize("speed", [0, 1, 20])
def test_a_rehearsal_is_marked_in_a_filled_row_on_every_size(
    width: int, height: int, assist: Assist, speed: int
) -> None:
    """By a word, and by the only row that is filled from edge to edge."""
    made = band(stand(speed, assist), bench(call=QUESTION), UNICODE, width, height)

    assert made.lines[0].text.startswith(" REHEARSAL")
    assert {piece.token for piece in made.lines[0].pieces} == {Token.DRILL_FILL}
    assert len(made.lines) == band_rows(height)
    assert {each.width for each in made.lines} == {width}


@pytest.mark.parametrize(("width", "height"), SIZES)
def test_most_of_the_screen_stays_the_board_s(width: int, height: int) -> None:
    """It is the board that is practised."""
    assert band_rows(height) <= height // 4 + 1
    assert width


@pytest.mark.parametrize(("width", "height"), [(80, 24), (120, 40), (200, 60)])
@pytest.mark.parametrize("assist", Assist)
def test_the_bar_says_how_fast_what_steers_it_and_how_much_help(
    width: int, height: int, assist: Assist
) -> None:
    """On the usual sizes nothing of it is left out."""
    bar = band(stand(4, assist), bench(call=QUESTION), UNICODE, width, height).lines[0].text

    for words in ("x4", "F7 stop", "F10 answer", "F11 next", LEVELS[assist]):
        assert words in bar


def test_each_key_of_the_bar_can_be_clicked() -> None:
    """Some terminals keep function keys to themselves."""
    made = band(stand(0), bench(call=QUESTION), UNICODE, 120, 40)
    bar = made.lines[0].text
    for words, gives in (
        ("F7 go on", Steered(Steer.SPEED)),
        ("F10 answer", Steered(Steer.ANSWER)),
        ("F11 next", Steered(Steer.ONWARD)),
        ("x1  ", Steered(Steer.SPEED, "1")),
        ("x20", Steered(Steer.SPEED, "20")),
    ):
        assert made.given_at(bar.index(words), 0) == gives
    assert made.given_at(1, 0) is None
    assert made.given_at(bar.index("F7"), 1) is None


def test_a_question_is_told_whole_on_a_small_screen_while_a_device_lies_there() -> None:
    """How it is answered stands at its end; the strip gives a row for it and stays in sight."""
    asks = replace(
        QUESTION.interruption, says="A colleague asks, and at some length, which lot is open?"
    )
    shown = text(band(stand(), bench(call=replace(QUESTION, interruption=asks)), UNICODE, 80, 24))

    assert "which lot is open? Type the answer, then F10." in " ".join(shown.split())
    assert "░░░" in shown
    assert "C01 on the bench" in shown


def test_what_breaks_in_comes_before_who_waits() -> None:
    """With one row for words it is the one that is told."""
    small = band(stand(), bench(call=QUESTION), UNICODE, 80, 24).lines[1].text
    large = text(band(stand(), bench(call=QUESTION), UNICODE, 120, 60))

    assert "! QUESTION" in small
    assert "which lot is open?" in small
    assert "Type the answer, then F10." in large
    assert "Before you: 2 together, P-001 / P-002." in large


@pytest.mark.parametrize("assist", Assist)
def test_before_it_begins_the_goal_is_told_to_whoever_has_full_help(assist: Assist) -> None:
    """And what begins it; a goal may say what is to be found."""
    shown = text(band(stand(0, assist, begun=False), bench(), UNICODE, 80, 24))

    assert "F7 begins." in shown
    assert ("Goal: Read both." in shown) is (assist is Assist.FULL)


@pytest.mark.parametrize(("width", "height"), [(80, 24), (120, 40), (200, 60)])
@pytest.mark.parametrize("begun", [True, False])
def test_boxes_and_badges_are_told_once_wherever_no_device_lies(
    width: int, height: int, begun: bool
) -> None:
    """They are scanned first."""
    shown = text(band(stand(1, begun=begun), bench(device=None), UNICODE, width, height))

    assert shown.count("L-100 (good through 2026-12-31)") == 1
    assert shown.count("Badges: op-1, op-2") == 1


@pytest.mark.parametrize("assist", Assist)
def test_teaching_is_told_with_full_help_alone(assist: Assist) -> None:
    """An examination teaches nothing."""
    shown = text(band(stand(1, assist), bench(), UNICODE, 200, 60))

    assert (TEACHING in shown) is (assist is Assist.FULL)


def test_the_chosen_device_is_told_by_its_print_and_its_people() -> None:
    """What its label says, what its pouch says, what its person says: they may differ."""
    shown = text(band(stand(), bench(), UNICODE, 200, 60))

    for words in (
        "C01 on the bench, marked P-001",
        "Respiratory antigen, nasal swab",
        "They say: P-001 (Ada Vale)",
        "good through",
        "░░░",
        "███",
    ):
        assert words in shown


@pytest.mark.parametrize(
    ("speed", "assist", "covered"),
    [
        (0, Assist.SILENT, True),
        (1, Assist.SILENT, False),
        (0, Assist.FULL, False),
        (0, Assist.ALARMS, False),
    ],
)
def test_in_an_examination_a_strip_is_covered_while_the_clock_stands(
    speed: int, assist: Assist, covered: bool
) -> None:
    """Nobody studies a faint line for as long as they like."""
    shown = text(band(stand(speed, assist), bench(), UNICODE, 120, 40))

    assert (COVERED in shown) is covered
    assert ("███" in shown) is not covered


def test_without_a_choice_it_says_how_one_is_made() -> None:
    """An empty frame would look like a blank strip."""
    assert NOTHING_CHOSEN in text(band(stand(), bench(device=None), UNICODE, 80, 24))


def test_where_no_cartridge_lies_nobody_is_told_to_choose_one() -> None:
    """At the beginning there is none, and a trainee would look for it."""
    shown = text(band(stand(), bench(device=None, lie_here=False), UNICODE, 80, 24))

    assert NOTHING_CHOSEN not in shown


@pytest.mark.parametrize("begun", [True, False])
def test_everybody_who_waits_is_named_on_a_small_screen(begun: bool) -> None:
    """Whoever is cut off cannot be entered, and the work stops there."""
    here = bench(device=None, come=10)
    shown = text(band(stand(0, begun=begun), here, UNICODE, 80, 24))

    assert all(f"P-{number:03}" in shown for number in range(1, 11))


def test_a_long_goal_is_told_whole_with_the_key_that_begins() -> None:
    """The key stands at its end, and was cut off first."""
    goal = "take one person from the label to a reading inside the window and keep the rest"
    here = bench(device=None, lie_here=False)
    shown = text(band(stand(0, begun=False, goal=goal), here, UNICODE, 80, 24))

    assert " ".join(shown.split()).count(f"Goal: {goal}. F7 begins.") == 1


def test_at_the_end_it_says_that_nothing_is_left() -> None:
    """And how to come to the debrief."""
    assert OVER in text(band(stand(), bench(is_over=True), UNICODE, 120, 40))


def test_what_broke_in_behind_a_question_is_named_beside_it() -> None:
    """Whoever has not answered yet must know that somebody was called away meanwhile."""
    away = BrokenIn(
        number=2,
        interruption=Interruption(
            at=Span(0),
            kind=InterruptionKind.CALLED_AWAY,
            says="op-2 is called away.",
            operator="op-2",
            until=Span(60_000),
        ),
    )
    made = band(stand(), bench(call=QUESTION, behind=(away,)), UNICODE, 120, 40)

    assert "(then CALLED AWAY)" in text(made)
