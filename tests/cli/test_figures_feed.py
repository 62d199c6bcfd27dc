"""The program beside a board: each table fits the room it is asked for, and says what the record says."""

from __future__ import annotations

import shutil
import subprocess
import sys
from pathlib import Path
from typing import TYPE_CHECKING, cast

import pytest

from cli.quality_bench import ReadTwice
from quarter import BAD_LOT, make_quarter
from readbell.bay.figures_lines import answer, asked_in, question, said_in
from readbell.cli.figures_feed import Feed
from readbell.core.figures.view import (
    DRAWN,
    Answered,
    Asked,
    By,
    CountFailed,
    Counting,
    Sheet,
    Stretch,
)
from readbell.phrases.readers_words import NO_READERS
from readbell.phrases.sheet_words import NO_NEAR, NO_SAMPLES, NOT_ENDED, lot_key

if TYPE_CHECKING:
    from readbell.core.figures.view import Said

ASSAY = "respiratory-antigen-nasal"
SIZES = ((24, None), (56, None), (76, (76, 14)), (72, (42, 20)), (96, (110, 30)), (72, (10, 3)))


@pytest.fixture(scope="module")
def quarter(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """A made-up quarter with one bad lot."""
    path = tmp_path_factory.mktemp("quarter") / "bay.journal"
    make_quarter(path)
    return path


@pytest.fixture(scope="module")
def read_twice(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """A day on which four strips were read by two people, with a control sample and a near miss."""
    folder = tmp_path_factory.mktemp("twice")
    return ReadTwice().read_twice().sample().put(folder / "bay.journal")


def asked(
    sheet: Sheet,
    by: By = By.LOT,
    *,
    wide: int = 76,
    picture: tuple[int, int] | None = None,
    plain_signs: bool = False,
    chosen: str | None = None,
    stretch: Stretch = Stretch.ALL,
) -> Asked:
    """What somebody wants to see."""
    return Asked(
        sheet=sheet,
        by=by,
        stretch=stretch,
        wide=wide,
        picture=picture,
        plain_signs=plain_signs,
        chosen=chosen,
    )


FEEDS: dict[Path, tuple[Feed, list[Said]]] = {}
"""One for each record: it counts once, as it does beside a board."""


def answered(journal: Path, *questions: Asked) -> list[Answered]:
    """What the program answers, one after another."""
    if journal not in FEEDS:
        heard: list[Said] = []
        FEEDS[journal] = (Feed(journal, heard.append), heard)
    feed, said = FEEDS[journal]
    said.clear()
    for each in questions:
        feed.take(each)
    assert not [each for each in said if isinstance(each, CountFailed)], said
    found = [each for each in said if isinstance(each, Answered)]
    assert [each.asked for each in found] == [*questions]
    return found


@pytest.mark.parametrize("sheet", Sheet)
def test_every_table_and_picture_fits_where_it_is_to_stand(quarter: Path, sheet: Sheet) -> None:
    """Nothing is cut by whoever paints it; in plain signs there is no other."""
    questions = [
        asked(sheet, by, wide=wide, picture=picture, plain_signs=plain)
        for by in By
        for wide, picture in SIZES
        for plain in (False, True)
    ]
    for each in answered(quarter, *questions):
        of = each.asked
        assert all(len(text) <= of.wide for text in (each.head, *(row for _, row in each.rows)))
        if of.picture is not None:
            assert len(each.picture) <= of.picture[1]
            assert all(len(row) <= of.picture[0] for row in each.picture)
            enough = of.picture[1] > 10
            drawn = sheet in DRAWN - {Sheet.NEAR}  # nothing was refused in this quarter
            assert bool(each.picture) == (enough and drawn)
        if of.plain_signs:
            assert all(row.isascii() for row in each.picture)


def test_days_stand_with_the_latest_on_top_and_lots_in_their_order(quarter: Path) -> None:
    """The latest is what is looked for."""
    days, lots = answered(quarter, asked(Sheet.RATES, By.DAY), asked(Sheet.RATES, By.LOT))

    assert [key for key, _ in days.rows][:2] == ["2026-04-05", "2026-04-04"]
    assert len(days.rows) == 91
    assert [key for key, _ in lots.rows] == [f"L-5{week:02}" for week in range(13)]
    assert days.as_of == "17:08"


def test_the_bad_lot_is_marked_on_the_chart_and_leads_the_running_sums(quarter: Path) -> None:
    """By the very rules that propose something about it; its course is drawn without being asked for."""
    chart, sums, other = answered(
        quarter,
        asked(Sheet.CHART, picture=(60, 20)),
        asked(Sheet.SUM, picture=(60, 20)),
        asked(Sheet.SUM, picture=(60, 20), chosen=lot_key(ASSAY, "L-504")),
    )

    assert [key for key, text in chart.rows if "TOO MANY" in text] == [BAD_LOT]
    assert sum("X" in row for row in chart.picture[2:]) == 1
    key, first = sums.rows[0]
    assert key == lot_key(ASSAY, BAD_LOT)
    assert "FLAGGED 2026-02-" in first
    assert [text for _, text in sums.rows if "FLAGGED" in text] == [first]
    assert sums.picture[0].startswith(f"running sum of {BAD_LOT}")
    assert other.picture[0].startswith("running sum of L-504")


def test_positives_have_a_chart_of_their_own_with_its_caution(quarter: Path) -> None:
    """They follow the people who came; the bad lot is no matter of them."""
    (found,) = answered(quarter, asked(Sheet.POSITIVES, By.OPERATOR, picture=(60, 20)))

    assert len(found.rows) == 3
    assert any("the people who came" in each for each in found.notes)
    assert found.picture[0].startswith("positive %")


def test_beside_the_running_sums_stands_what_a_flag_is_worth(quarter: Path) -> None:
    """How often a good lot is flagged, and how soon a bad one is."""
    (found,) = answered(quarter, asked(Sheet.SUM))

    assert "a lot is flagged once in 20,490 strips on average" in " ".join(found.notes)
    assert "after 187 strips on average" in " ".join(found.notes)


def test_a_stretch_of_days_holds_no_others(quarter: Path) -> None:
    """Seven days up to the last event; and the lots of those days alone."""
    week, lots = answered(
        quarter,
        asked(Sheet.RATES, By.DAY, stretch=Stretch.WEEK),
        asked(Sheet.SUM, stretch=Stretch.WEEK),
    )

    assert [key for key, _ in week.rows][-1] == "2026-03-30"
    assert len(week.rows) == 7
    assert [key for key, _ in lots.rows] == [lot_key(ASSAY, "L-512")]


def test_readers_samples_and_near_misses_have_their_rows(read_twice: Path) -> None:
    """Who read with whom, marked as few; what a control sample came to; what was refused."""
    readers, samples, near = answered(
        read_twice, asked(Sheet.READERS), asked(Sheet.SAMPLES), asked(Sheet.NEAR, picture=(60, 12))
    )

    assert [text.split("  ")[0] for _, text in readers.rows] == [
        ASSAY,
        "op-1 and op-2",
    ]
    assert "4*" in readers.rows[1][1]
    assert "Fewer than 20 strips in common" in readers.notes[0]
    ((_, sample),) = samples.rows
    assert "passed" in sample
    assert "M-1" in sample
    assert "too early" in near.rows[0][1]
    assert near.picture


def test_where_there_is_nothing_it_says_so(tmp_path: Path) -> None:
    """And draws nothing."""
    from cli.past_bay import PastBay

    empty = PastBay()
    del empty.events[2:]
    found = answered(
        empty.put(tmp_path / "bay.journal"),
        *(asked(each, stretch=Stretch.WEEK, picture=(60, 12)) for each in Sheet),
    )
    said = {each.asked.sheet: each for each in found}

    assert all(each.picture == () for each in found)
    assert all(each.rows == () and each.head == "" for each in found)
    assert said[Sheet.RATES].notes == said[Sheet.LOAD].notes == (NOT_ENDED,)
    assert said[Sheet.SAMPLES].notes == (NO_SAMPLES,)
    assert said[Sheet.READERS].notes == (NO_READERS,)
    assert said[Sheet.NEAR].notes == (NO_NEAR,)


def test_it_says_how_far_it_is_and_counts_once_for_each_stretch_and_round(quarter: Path) -> None:
    """Another table of the same days is there at once."""
    said: list[Said] = []
    feed = Feed(quarter, said.append)
    feed.take(asked(Sheet.RATES))
    assert {each.what for each in said if isinstance(each, Counting)} == {
        "reading the record",
        "counting cartridges",
    }
    said.clear()
    feed.take(asked(Sheet.TIMES))
    assert [type(each) for each in said] == [Answered]
    said.clear()
    feed.take(asked(Sheet.TIMES, stretch=Stretch.WEEK))
    assert {each.what for each in said if isinstance(each, Counting)} == {"counting cartridges"}


def test_what_cannot_be_read_is_one_sentence_and_the_next_question_is_taken(tmp_path: Path) -> None:
    """Somebody moved the file, say."""
    said: list[Said] = []
    feed = Feed(tmp_path / "gone.journal", said.append)
    feed.take(asked(Sheet.RATES))
    (failed,) = said
    assert isinstance(failed, CountFailed)
    assert "gone.journal" in failed.why
    ReadTwice().read_twice().put(tmp_path / "gone.journal")
    feed.take(asked(Sheet.RATES))
    assert isinstance(said[-1], Answered)


def test_of_an_error_that_is_not_ours_only_its_kind_is_told(
    read_twice: Path, tmp_path: Path
) -> None:
    """Its text might hold what somebody typed."""
    said: list[Said] = []
    broken = asked(Sheet.RATES, cast("By", "nonsense"))
    Feed(Path(shutil.copy(read_twice, tmp_path / "a.journal")), said.append).take(broken)

    assert said[-1] == CountFailed(why="KeyError")


@pytest.mark.parametrize(
    "said",
    [
        Counting(what="reading", done=3, of=10),
        CountFailed(why="why ä"),
        Answered(
            asked=asked(Sheet.SUM, picture=(3, 4), chosen="a\nb"),
            as_of="10:00",
            head="head",
            rows=(("a\nb", "text │"),),
            notes=("note",),
            picture=("┌─┐",),
        ),
    ],
)
def test_what_is_said_arrives_as_it_was_said(said: Said) -> None:
    """In one line each, whatever stands in it."""
    assert "\n" not in answer(said)
    assert said_in(answer(said)) == said


def test_what_is_asked_arrives_as_it_was_asked() -> None:
    """With and without a picture."""
    for each in (asked(Sheet.SUM, picture=(60, 20), chosen="a\nb"), asked(Sheet.RATES)):
        assert asked_in(question(each)) == each


def test_the_program_itself_answers_lines_with_lines_and_ends_with_its_input(
    read_twice: Path,
) -> None:
    """As a board starts it."""
    done = subprocess.run(  # our own program
        [sys.executable, "-m", "readbell.cli.figures_feed", str(read_twice)],
        input=f"{question(asked(Sheet.RATES))}\nno question\n",
        capture_output=True,
        text=True,
        encoding="utf-8",
        check=True,
    )

    last = said_in(done.stdout.splitlines()[-1])
    assert isinstance(last, Answered)
    assert last.rows
    assert done.stderr == ""
