"""What a report on quality says: never more than was counted, and what to do without doing it."""

from __future__ import annotations

from collections import Counter

import pytest

from readbell.core.figures.case import Came
from readbell.core.figures.near_misses import NearMiss, NearMisses
from readbell.core.figures.table import Chosen
from readbell.core.figures.tally import Tally
from readbell.core.figures.view import By
from readbell.core.figures.watched import Charted, Proposal, Watched
from readbell.core.figures.watching import Flag, Sign, chart, promise_of, watch_over_lots
from readbell.core.instant import Instant
from readbell.core.refusal import RefusalCode
from readbell.phrases import quality_words as words

FLAG = Flag(lot="L-1", assay="nasal", day="2026-03-04", after=59, invalid=6)


def by_key(_by: By, key: str) -> str:
    """Call everything by its key."""
    return key


def lots(bad: int) -> Charted:
    """Three lots, one of them with so many invalid strips of a hundred."""
    groups = {
        f"L-{number}": Tally(came=Counter({Came.NEGATIVE: 100 - many, Came.INVALID: many}))
        for number, many in enumerate((bad, 1, 2), 1)
    }
    return Charted(assay="nasal", by=By.LOT, chart=chart(groups, Sign.INVALID))


def said(*, flag: Flag | None, bad: int | None, state: str = "") -> list[str]:
    """What is proposed of one lot."""
    charted = lots(bad or 0)
    proposal = Proposal(
        assay="nasal",
        lot="L-1",
        flag=flag,
        point=charted.chart.points[0] if bad else None,
        middle=charted.chart.middle,
        last="2026-03-09",
    )
    watch = watch_over_lots()
    assert watch is not None
    found = Watched(
        since=None, until=None, charts=(), promise=promise_of(watch), proposals=(proposal,)
    )
    return list(words.say_proposals(found, lambda _lot: state))


def test_a_proposal_says_what_speaks_against_a_lot_and_that_nothing_was_done() -> None:
    """Both ways of watching, in one sentence."""
    first, last = said(flag=FLAG, bad=15, state=words.say_state(on_hold=True, used_up=False))

    assert first.startswith(
        "Lot L-1 of nasal: the running sum flagged it on 2026-03-04, 6 of the first 59 strips "
        "invalid; on the chart 15 of its 100 strips are invalid, where chance alone seldom makes "
        "more than 14 (all lots: 6.0 %). Proposed: run a positive and a negative control sample"
    )
    assert first.endswith("It was last used on 2026-03-09. It is on hold now.")
    assert last.startswith("Nothing was held and nothing was asked for.")


@pytest.mark.parametrize(
    ("flag", "bad", "part"),
    [
        (
            FLAG,
            None,
            "Lot L-1 of nasal: the running sum flagged it on 2026-03-04, 6 of the first 59 strips invalid. Proposed:",
        ),
        (
            FLAG,
            3,
            "invalid; on the chart 3 of its 100 strips are invalid, and up to 7 are nothing unusual",
        ),
        (None, 15, "Lot L-1 of nasal: on the chart 15 of its 100 strips are invalid, where"),
    ],
)
def test_each_way_of_watching_speaks_for_itself(
    flag: Flag | None, bad: int | None, part: str
) -> None:
    """And ends its sentence where the other has nothing to say."""
    assert part in said(flag=flag, bad=bad)[0]


def test_how_a_lot_stands_is_said_where_it_matters() -> None:
    """A lot with strips left and no hold needs no word."""
    assert words.say_state(on_hold=False, used_up=True) == "By the record none of it is left."
    assert words.say_state(on_hold=False, used_up=False) == ""


@pytest.mark.parametrize(
    ("charted", "part"),
    [
        (lots(2), "No lot is out of the ordinary."),
        (lots(20), "Out of the ordinary: L-1 with 20 of 100, where"),
        (lots(20), "See what is proposed, where there are too many."),
    ],
)
def test_a_chart_names_what_is_out_of_the_ordinary(charted: Charted, part: str) -> None:
    """With how many points chance alone would put there."""
    found = words.say_flagged(charted, by_key)

    assert part in found
    assert "0.01 of 3 points" in found


def test_operators_are_spoken_with_and_positives_follow_people() -> None:
    """A count out of the ordinary is no verdict on anybody."""
    groups = {
        "op-1": Tally(came=Counter({Came.NEGATIVE: 50, Came.POSITIVE: 50, Came.INVALID: 40})),
        "op-2": Tally(came=Counter({Came.NEGATIVE: 400, Came.POSITIVE: 4, Came.INVALID: 1})),
    }
    invalid, positive = (
        words.say_flagged(Charted(assay="nasal", by=By.OPERATOR, chart=chart(groups, each)), by_key)
        for each in Sign
    )

    assert "Look together at how strips are run" in invalid
    assert "Positives follow the people who came" in positive


def test_rates_of_nothing_are_no_rates() -> None:
    """Not a share of 0 %."""
    row = next(iter(words.rates_rows(By.LOT, {"L-1": Tally(came=Counter({Came.VOID: 2}))}, by_key)))

    assert row == ("L-1", "0", "-", "-", "-", "0")
    assert all(each[3:] == ("-", "-") for each in words.short_rows(Tally()))


def test_of_few_lengths_no_quantile_is_given() -> None:
    """Nineteen tell nothing of the twentieth part; with twenty they are given in their unit."""
    tally = Tally()
    tally.told_after.add(25, 19)
    few = list(words.times_rows(tally))[-1]
    tally.told_after.add(25)

    assert few == ("from the swab to the result told", "19", "-", "-", "-", "")
    assert list(words.times_rows(tally))[-1][1:5] == ("20", "25:00", "25:00", "25:00")


def test_void_and_paper_are_said_beside_the_tests() -> None:
    """They stand in no rate, and are not kept quiet either."""
    whole = Tally(came=Counter({Came.NEGATIVE: 1, Came.VOID: 2}))

    assert words.say_size(whole, 1, 0) == (
        "1 test of patients on 1 day. Besides, in no rate: 2 void or withdrawn."
    )
    assert "3 runs on paper, whose times are stated" in words.say_size(whole, 2, 3)


@pytest.mark.parametrize(
    ("chosen", "days", "title"),
    [
        (Chosen(), [], "Quality report of Quay"),
        (Chosen(), ["2026-01-02"], "Quality report of Quay, 2026-01-02"),
        (Chosen(since="2026-01-01"), [], "Quality report of Quay, since 2026-01-01"),
        (Chosen(until="2026-01-01"), [], "Quality report of Quay, until 2026-01-01"),
        (
            Chosen(until="2026-01-09"),
            ["2026-01-02", "2026-01-04"],
            "Quality report of Quay, 2026-01-02 to 2026-01-09",
        ),
    ],
)
def test_the_title_says_of_which_days(chosen: Chosen, days: list[str], title: str) -> None:
    """As they were asked for, or as there are any."""
    assert words.say_title("Quay", chosen, days) == title


def test_near_misses_are_counted_for_each_thousand_tests() -> None:
    """And told apart by why, lot and operator."""
    found = NearMisses()
    assert words.say_near(found, 10) == "None is on record of these days."
    miss = NearMiss(
        at=Instant(0),
        code=RefusalCode.TOO_EARLY,
        act="read",
        assay="nasal",
        lot="L-1",
        operator="op-1",
    )
    found.add(miss, 9)

    assert words.say_near(found, 500) == (
        "1 act refused; 2 for each 1,000 tests. Each changed nothing else."
    )
    assert words.say_near(found, 0) == "1 act refused. Each changed nothing else."
    assert list(words.near_rows(found, by_key)) == [
        ("too early", "1"),
        ("lot: L-1", "1"),
        ("operator: op-1", "1"),
    ]
