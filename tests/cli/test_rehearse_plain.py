"""A rehearsal in lines: the words that steer it, and what an examination does not say."""

from __future__ import annotations

from typing import TYPE_CHECKING

import pytest

from readbell.cli.rehearse_plain import NOT_ADVISED, SAY_A_SPEED, PlainBench, spoken
from readbell.core.practice.assist import Assist
from readbell.hand.aloud import WORDS, said_aloud
from readbell.hand.given import Given, Key, Pressed, Scanned, Steer, Steered
from readbell.phrases import bench_words
from readbell.phrases.of_bands import FAINT_COUNTS
from rehearsal.attempts import FAINT, HEAD, Sitting, person

if TYPE_CHECKING:
    from collections.abc import Callable, Iterator
    from pathlib import Path

MINUTE = 60_000
OWN = (".go", ".stop", ".leap", ".answer", ".noted", ".bench", ".strip")


@pytest.fixture
def sit(tmp_path: Path) -> Iterator[Callable[[Assist], Sitting]]:
    """Return what begins an attempt; each is ended."""
    begun: list[Sitting] = []

    def begin(assist: Assist) -> Sitting:
        file = tmp_path / "day.toml"
        file.write_text(HEAD + person("P-001", bands=FAINT), "utf-8")
        begun.append(Sitting(file, tmp_path / f"{len(begun)}.journal", assist))
        return begun[-1]

    yield begin
    for each in begun:
        each.leave()


def developing(sitting: Sitting) -> None:
    """Take the person from the label to the open window."""
    sitting.give(Steered(Steer.SPEED), Scanned("L-100"), Pressed(Key.START), Scanned("P-001"))
    for minute, given in (
        (1, Pressed(Key.START)),
        (2, Pressed(Key.START)),
        (3, Scanned("C01")),
        (4, Pressed(Key.DONE)),
        (6, Scanned("C01")),
        (7, Pressed(Key.DONE)),
        (8, Scanned("C01")),
        (9, Pressed(Key.DONE)),
    ):
        sitting.at(minute * MINUTE, given)
    sitting.at(25 * MINUTE)


@pytest.mark.parametrize(
    ("typed", "given"),
    [
        (".go", Steered(Steer.SPEED)),
        (".go 20", Steered(Steer.SPEED, "20")),
        (".stop", Steered(Steer.SPEED, "0")),
        (".leap", Steered(Steer.ONWARD)),
        (".answer not yet", Steered(Steer.ANSWER, "not yet")),
        (".noted", Steered(Steer.ANSWER)),
        ("C01", None),
        (".done", None),
    ],
)
def test_each_word_of_a_rehearsal_is_its_key(
    sit: Callable[[Assist], Sitting], typed: str, given: Given | None
) -> None:
    """Whatever is none of them goes to the hand, as on any board."""
    assert PlainBench(sit(Assist.FULL).front, Assist.FULL).steered(typed) == given


def test_a_clock_that_goes_is_not_stopped_by_the_word_that_has_it_go(
    sit: Callable[[Assist], Sitting],
) -> None:
    """A key may be both; whoever types a word means it."""
    sitting = sit(Assist.FULL)
    sitting.give(Steered(Steer.SPEED, "4"))

    assert PlainBench(sitting.front, Assist.FULL).steered(".go") == Steered(Steer.SPEED, "4")


def test_a_speed_that_is_none_is_refused_with_what_to_say(
    sit: Callable[[Assist], Sitting],
) -> None:
    """In the words of these lines: a key is of no use here."""
    found = PlainBench(sit(Assist.FULL).front, Assist.FULL).steered(".go faster")

    assert found == (f"no  {SAY_A_SPEED}",)


def test_no_word_of_a_rehearsal_hides_one_of_the_board() -> None:
    """Whoever learnt the live words can use every one of them."""
    assert not {each.removeprefix(".") for each in OWN} & set(WORDS)


@pytest.mark.parametrize(
    "sentence", [each for each in vars(bench_words).values() if isinstance(each, str)]
)
def test_no_sentence_of_the_bench_names_a_key(sentence: str) -> None:
    """Whoever has lines has no keys."""
    said = spoken(sentence)

    assert not [key for key in ("F7", "F10", "F11", "Ctrl") if key in said]


def test_an_examination_says_nothing_of_what_is_due(
    sit: Callable[[Assist], Sitting],
) -> None:
    """The window is open, and whoever is examined has to know it."""
    sitting = sit(Assist.SILENT)
    developing(sitting)
    bench, present = PlainBench(sitting.front, Assist.SILENT), sitting.front.present()
    (row,) = bench.standing(present)

    assert row == "C01  P-001  develops +16:00"
    assert bench.steered(".plan") == (NOT_ADVISED,)
    assert bench.calls is False
    sitting.give(Pressed(Key.LEAVE))
    hand, scene = sitting.front.present().hand, sitting.front.present().scene
    assert [*said_aloud(hand, scene, advises=False, calls=False)] == [
        "Say .leave again to leave, .back to stay."
    ]


def test_with_calls_all_stand_as_on_any_board(sit: Callable[[Assist], Sitting]) -> None:
    """Alarms alone are still alarms."""
    sitting = sit(Assist.ALARMS)
    developing(sitting)
    bench = PlainBench(sitting.front, Assist.ALARMS)
    (row,) = bench.standing(sitting.front.present())

    assert row.startswith("C01  P-001  read-window  closes in 4:00")
    assert bench.steered(".plan") == (NOT_ADVISED,)


@pytest.mark.parametrize("assist", list(Assist))
def test_how_a_strip_is_looked_at_is_told_with_full_help_alone(
    sit: Callable[[Assist], Sitting], assist: Assist
) -> None:
    """That a faint line counts is the very thing that is examined."""
    sitting = sit(assist)
    developing(sitting)
    sitting.give(Scanned("C01"))
    bench, present = PlainBench(sitting.front, assist), sitting.front.present()
    said = " ".join(
        said_aloud(present.hand, present.scene, advises=bench.advises, calls=bench.calls)
    )

    assert "Reading of C01." in said
    assert (FAINT_COUNTS in said) is (assist is Assist.FULL)
    assert "Strip of C01: at C strong colour; at T weak colour." in [*bench.newly()]


def test_all_that_is_to_be_seen_can_be_asked_for_with_the_time(
    sit: Callable[[Assist], Sitting],
) -> None:
    """There is no clock on a wall that can be looked at."""
    bench = PlainBench(sit(Assist.FULL).front, Assist.FULL)
    found = bench.steered(".bench")

    assert isinstance(found, tuple)
    assert found[0] == "It is 00:40:00 now. The rehearsal stands still. .go goes on."
    assert "Before you: P-001." in found
