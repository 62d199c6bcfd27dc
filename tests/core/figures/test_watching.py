"""Lots and operators out of the ordinary are flagged, and nothing else happens."""

from __future__ import annotations

from collections import Counter
from dataclasses import replace
from random import Random

import pytest

from core.figures.cases import READ
from readbell.core.figures.case import Came
from readbell.core.figures.counted import Counted
from readbell.core.figures.tally import Tally
from readbell.core.figures.watching import (
    Flag,
    Sign,
    chart,
    flags,
    promise_of,
    watch_over_lots,
)
from readbell.core.figures.week import week_of

BAD = "L-BAD"


def tally(**came: int) -> Tally:
    """A group in which so many came to each."""
    return Tally(came=Counter({Came(each): count for each, count in came.items()}))


def test_a_lot_with_far_too_many_invalid_strips_is_flagged_on_the_chart() -> None:
    """And the others are not, though their counts differ."""
    groups = {f"L-{each}": tally(negative=95, positive=3, invalid=each % 4) for each in range(20)}
    found = chart(groups | {BAD: tally(negative=88, invalid=12)}, Sign.INVALID)

    assert [each.key for each in found.flagged] == [BAD]
    assert found.middle == pytest.approx((30 + 12) / (20 * 98 + 30 + 100))
    assert found.false_flags < 0.06


def test_a_small_lot_is_not_flagged_for_a_count_that_chance_makes() -> None:
    """One invalid of three looks like a third, and is nothing."""
    groups = {"L-1": tally(negative=970, invalid=30), "L-2": tally(negative=2, invalid=1)}

    assert chart(groups, Sign.INVALID).flagged == ()


def test_positives_are_counted_among_valid_ones() -> None:
    """An invalid strip says nothing of who was tested."""
    groups = {"one": tally(negative=190, positive=10), "two": tally(positive=60, invalid=500)}
    found = chart(groups, Sign.POSITIVE)

    assert [(each.tests, each.hits) for each in found.points] == [(200, 10), (60, 60)]
    assert [each.key for each in found.flagged] == ["one", "two"]


def test_a_group_with_nothing_to_count_stands_on_no_chart() -> None:
    """Void ones alone are no share."""
    assert chart({"L-1": tally(void=3)}, Sign.INVALID).points == ()
    assert chart({}, Sign.INVALID).middle == 0.0


def counted(*strips: tuple[str, str, Came], assay: str = "nasal") -> Counted:
    """Day, lot and end of each strip, in the order of labelling."""
    found = Counted()
    for ordinal, (day, lot, came) in enumerate(strips, 1):
        case = replace(READ, ordinal=ordinal, assay=assay, lot=lot, came=came)
        found.count(case, day, 9)
    return found


def flagged(found: Counted) -> tuple[Flag, ...]:
    """What is flagged as it comes."""
    watch = watch_over_lots()
    assert watch is not None
    return flags(watch, found)


def test_a_bad_lot_among_good_ones_is_flagged_soon_and_once() -> None:
    """Fifty strips a day of five lots; one of them has six times the invalid strips."""
    random, strips = Random(3), []  # noqa: S311  # chance for a test, no secret
    for day in range(40):
        for strip in range(50):
            lot = BAD if strip % 5 == 0 else f"L-{strip % 5}"
            share = 0.12 if lot == BAD else 0.015
            came = Came.INVALID if random.random() < share else Came.NEGATIVE
            strips.append((f"2026-03-{day + 1:02}", lot, came))
    (flag,) = flagged(counted(*strips))

    assert flag.lot == BAD
    assert flag.after < 120
    assert flag.invalid >= 4
    assert flag.day == f"2026-03-{(flag.after - 1) // 10 + 1:02}", "ten of its strips a day"


def test_the_lots_of_a_week_are_watched_by_the_same_sum() -> None:
    """Each number once, though two assays have it; and none where nothing is watched for."""
    found = counted(
        *[("2026-03-04", "L-9", Came.INVALID)] * 20, ("2026-03-04", "L-1", Came.INVALID)
    )
    found.join(counted(*[("2026-03-04", "L-9", Came.INVALID)] * 20, assay="throat"))
    watch = watch_over_lots()
    assert watch is not None

    assert week_of(found, "2026-03-04", watch).flagged == ("L-9",)
    assert week_of(found, "2026-03-04").flagged == ()
    assert week_of(found, "2026-03-11", watch).flagged == ()
    assert week_of(found, "2026-03-11", watch, in_store=("L-9",)).flagged == ("L-9",)


def test_what_was_not_read_tells_nothing_of_its_lot() -> None:
    """A lapsed strip speaks of the hands."""
    good = [("day", "L-1", Came.LAPSED), ("day", "L-1", Came.VOID)] * 500

    assert flagged(counted(*good)) == ()


def test_flags_come_in_the_order_of_their_days() -> None:
    """Whoever reads them goes through what happened."""
    early = [("2026-03-01", "L-9", Came.INVALID)] * 20
    late = [("2026-03-05", "L-1", Came.INVALID)] * 20

    assert [each.lot for each in flagged(counted(*early, *late))] == ["L-9", "L-1"]


def test_lots_of_two_assays_with_one_number_are_two_lots() -> None:
    """Numbers are the makers', and not agreed upon."""
    found = counted(*[("day", "L-1", Came.INVALID)] * 20)
    found.join(counted(*[("day", "L-1", Came.INVALID)] * 20, assay="throat"))

    assert [each.assay for each in flagged(found)] == ["nasal", "throat"]


def test_what_flags_are_worth_is_said_with_them() -> None:
    """How often a good lot is flagged, and how soon a bad one."""
    watch = watch_over_lots()
    assert watch is not None
    promise = promise_of(watch)

    assert promise.between_false_alarms >= 20_000
    assert promise.until_found < 200


def test_what_flags_are_worth_is_what_made_up_lots_show() -> None:
    """Worked out exactly, and played with seeded chance beside it."""
    watch = watch_over_lots()
    assert watch is not None
    promise, random = promise_of(watch), Random(11)  # noqa: S311  # chance for a test, no secret

    def strips(share: float, runs: int) -> float:
        taken = 0
        for _ in range(runs):
            steps = 0
            while not watch.flags(steps):
                steps, taken = watch.after(steps, hit=random.random() < share), taken + 1
        return taken / runs

    assert strips(promise.worse, 1_500) == pytest.approx(promise.until_found, rel=0.08)
    assert strips(promise.usual, 40) == pytest.approx(promise.between_false_alarms, rel=0.4)


def test_what_cannot_be_watched_for_is_not() -> None:
    """A worse share has to be worse."""
    assert watch_over_lots(0.1, 0.05) is None
