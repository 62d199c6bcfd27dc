"""The figures in words: nothing counted gives no rate, few give no quantile, and columns fit."""

from __future__ import annotations

from collections import Counter

import pytest
from hypothesis import given
from hypothesis import strategies as st

from readbell.core.figures.case import Came
from readbell.core.figures.counted import Counted
from readbell.core.figures.figures import FEW, Figures
from readbell.core.figures.near_misses import NearMiss, NearMisses
from readbell.core.figures.table import Chosen, Table
from readbell.core.figures.tally import Tally, WaitTally
from readbell.core.figures.view import By
from readbell.core.figures.week import Week
from readbell.core.instant import Instant
from readbell.core.refusal import RefusalCode
from readbell.core.statistics.spread import Spread
from readbell.phrases.figures_words import (
    HELD_TOGETHER,
    TOO_FEW,
    aligned,
    say_lengths,
    say_near_misses,
    say_rates,
    say_times,
    say_title,
    say_whole,
)
from readbell.phrases.sheet_words import near_misses
from readbell.phrases.week_words import NOT_COUNTED, say_week

WIDE = 120


def name(_by: By, key: str) -> str:
    """A group is called by its key."""
    return key


def spread(*lengths: int) -> Spread:
    """Lengths that were counted."""
    return Spread(Counter(lengths))


def test_the_title_says_from_when_to_when_and_of_what_alone() -> None:
    """One day is named once; where nothing was counted the days that were asked for are."""
    days = ["2026-03-01", "2026-03-29"]
    assert say_title("Harrow Quay", Chosen(), days) == (
        "Figures of Harrow Quay, 2026-03-01 to 2026-03-29"
    )
    assert say_title("Harrow Quay", Chosen(lots=("L-1",), assays=("nasal",)), days[:1]) == (
        "Figures of Harrow Quay, 2026-03-01, assay nasal, lot L-1"
    )
    assert say_title("Harrow Quay", Chosen(since="2026-03-02"), []) == (
        "Figures of Harrow Quay, from 2026-03-02"
    )
    assert say_title("Harrow Quay", Chosen(until="2026-03-02"), []) == (
        "Figures of Harrow Quay, until 2026-03-02"
    )
    assert say_title("Harrow Quay", Chosen(), []) == "Figures of Harrow Quay"


def test_what_is_in_no_rate_is_said_beside_them() -> None:
    """Void and withdrawn ones, and runs on paper."""
    table = Table()
    table.whole.came.update({Came.NEGATIVE: 3, Came.VOID: 2, Came.WITHDRAWN: 1})
    figures = Figures(
        table=table, samples=(), near_misses=NearMisses(), counted=Counted(), on_paper=1
    )
    said = " ".join(" ".join(say_whole(figures, 1)).split())
    assert "3 tests of patients on 1 day: 0 positive, 3 negative" in said
    assert "Besides, in no rate: 1 withdrawn, 2 void." in said
    assert "1 run on paper" in said
    assert "0.0 % (0.0 to 56.1) of 3 valid" in said


def test_a_rate_of_nothing_is_a_stroke_and_few_are_marked() -> None:
    """Nobody is to read a rate where there is none."""
    many = Tally(came=Counter({Came.NEGATIVE: FEW}))
    head, few, none, enough, mark = say_rates(
        By.LOT,
        {"L-1": Tally(came=Counter({Came.NEGATIVE: 1})), "L-2": Tally(), "L-3": many},
        name,
        WIDE,
    )
    assert head.split() == ["lot", "tests", "positive", "%", "invalid", "%", "lapsed", "%"]
    assert few.startswith("L-1  1*")
    assert none.split() == ["L-2", "0*", "-", "-", "-"]
    assert enough.startswith("L-3  20 ")
    assert TOO_FEW in mark


def test_quantiles_are_given_from_so_many_on() -> None:
    """Below that only how many there were."""
    tallies = {
        "few": Tally(read_at=spread(*range(FEW - 1))),
        "many": Tally(read_at=spread(*[960] * FEW), told_after=spread(*[25] * FEW)),
    }
    _, few, many = say_times(By.READER, tallies, name, WIDE)
    assert "fewer than 20 timed (19)" in few
    assert "16:00 (16:00 to 16:00)" in many
    assert many.endswith("25 (25 to 25)")


def test_lengths_say_what_was_lost_to_waits() -> None:
    """On average and in all, and nothing of a wait that nobody timed."""
    tally = Tally(
        waits={
            ("nasal", "extract"): WaitTally(took=spread(*[75] * 40), kept=38, idle=600),
            ("nasal", "dry"): WaitTally(),
        },
        early_at=spread(300),
        early=1,
        could_be_early=2,
    )
    said = list(say_lengths(tally))
    assert said[0] == "nasal, wait after extract: timed 40 times"
    assert "  kept within its limits: 95.0 % (83.5 to 98.6)" in said
    assert "  went on after its least: 0:15 each on average, 10:00 in all" in said
    assert "positives seen early: 50.0 % (9.5 to 90.5) of 2" in said
    assert not any("dry" in each for each in said)
    assert said[-1] == "from swab to result told: none timed"


def test_of_many_kinds_of_near_misses_the_most_frequent_are_named() -> None:
    """The rest are counted, and all are in the files."""
    misses = NearMisses()
    for number in range(10):
        for _ in range(number + 1):
            misses.add(
                NearMiss(
                    at=Instant(0),
                    code=RefusalCode.TOO_EARLY,
                    act="read",
                    assay="nasal",
                    lot=f"L-{number}",
                    operator=None,
                ),
                9,
            )
    said = [each.replace(HELD_TOGETHER, " ") for each in say_near_misses(misses, 550, name)]
    assert said[0] == "55 acts refused, 100 for each 1,000 tests."
    assert said[1] == "  by why: too early 55"
    assert said[2].startswith("  by lot: L-9 10, L-8 9")
    assert said[2].endswith("and 2 more")


@pytest.mark.parametrize(
    ("tests", "words"),
    [(0, "1 act refused."), (6, "1 act refused, in 6 tests."), (20, "50 for each 1,000 tests.")],
)
def test_of_a_morning_of_few_tests_no_rate_of_near_misses_is_made(tests: int, words: str) -> None:
    """Four slips in six tests are four: "667 for each 1,000" is a number of nobody's work."""
    misses = NearMisses()
    misses.add(
        NearMiss(
            at=Instant(0),
            code=RefusalCode.TOO_EARLY,
            act="read",
            assay="nasal",
            lot="L-1",
            operator=None,
        ),
        9,
    )

    assert next(say_near_misses(misses, tests, name)).endswith(words)
    in_a_room = " ".join(near_misses(misses, tests, name).notes)
    assert ("for each 1,000 tests" in in_a_room) is (tests == 20)
    assert ("in 6 tests" in in_a_room) is (tests == 6)


CELLS = st.text("abc ", min_size=1, max_size=12)


@given(st.lists(st.tuples(CELLS, CELLS, CELLS), min_size=1), st.integers(10, 60))
def test_columns_stand_beneath_each_other_or_the_first_above_the_rest(
    rows: list[tuple[str, str, str]], width: int
) -> None:
    """No cell is lost, whatever the terminal."""
    lines = list(aligned(rows, width))
    assert len(lines) in (len(rows), 2 * len(rows))
    together = "\n".join(lines)
    assert all(cell.rstrip() in together for row in rows for cell in row)


def test_the_week_is_read_aloud_line_by_line() -> None:
    """For whoever does not look at a screen."""
    tally = Tally(came=Counter({Came.POSITIVE: 1, Came.NEGATIVE: 1}))
    days = (("2026-03-29", tally),)
    week = Week(day="2026-03-29", today=tally, whole=tally, days=days, refused_today=1, refused=3)
    said = list(say_week(week))
    assert said[0] == "tests: today 2; this week 2"
    assert said[2] == "positive: today 1 = 50.0 % (9.5 to 90.5); this week 1 = 50.0 % (9.5 to 90.5)"
    assert "near misses: today 1; this week 3" in said
    assert list(say_week(None)) == [f"{NOT_COUNTED} Ask once more."]


@pytest.mark.parametrize("tests", [0, 10])
def test_no_near_miss_is_said_too(tests: int) -> None:
    """And is no proof of anything."""
    assert list(say_near_misses(NearMisses(), tests, name)) == ["None is on record."]
