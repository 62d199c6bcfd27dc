"""What a count is worth whose tries fall together."""

from __future__ import annotations

import pytest

from readbell.core.plan.chance import of_clusters
from readbell.core.statistics.proportion import wilson


def test_nothing_tried_says_nothing() -> None:
    """Anything from never to always."""
    assert of_clusters(0, 0, 0, 60).high == 1.0


def test_where_nothing_was_seen_each_run_counts_as_one() -> None:
    """Sixty cartridges that share a queue are worth one."""
    assert of_clusters(0, 0, 100, 60) == wilson(0, 100)
    assert of_clusters(600, 6_000, 100, 6).high == 1.0


def test_hits_that_fall_together_are_worth_fewer_tries() -> None:
    """Ten of a thousand runs miss all their ten: as unsure as ten of a thousand, not 100 of 10,000."""
    together = of_clusters(100, 10 * 10 * 10, 1_000, 10)

    assert together.value == pytest.approx(0.01)
    assert together.high == pytest.approx(wilson(10, 1_000).high, rel=0.001)


def test_hits_that_fall_apart_are_not_worth_more_than_there_are() -> None:
    """Spread more evenly than chance would: still no better than independent."""
    assert of_clusters(100, 100, 1_000, 10).high == pytest.approx(
        wilson(100, 10_000).high, rel=0.01
    )
    assert of_clusters(20, 40, 10, 4) == wilson(20, 40)


def test_one_run_by_itself_is_worth_one() -> None:
    """Nothing to tell a variance from."""
    assert of_clusters(3, 9, 1, 60) == wilson(0.05, 1)
