"""What one pair of hands needs at the least, against the numbers worked out on paper."""

from __future__ import annotations

import pytest

from readbell.core.plan.batch.one_operator import least_first_part


@pytest.mark.parametrize(
    ("people", "most", "gloves", "least"),
    [
        pytest.param(1, 110, 0, 180, id="alone: swab, the minute, drops"),
        pytest.param(2, 110, 0, 270, id="a pair: its last thirty seconds cannot be filled"),
        pytest.param(5, 110, 0, 2 * 270 + 180, id="two pairs and one"),
        pytest.param(5, 110, 20, 5 * 180 + 4 * 20, id="gloves: one after the other"),
        pytest.param(5, 120, 0, 5 * 120, id="a chain: the next swab fits behind the drops"),
        pytest.param(4, 70, 0, 4 * 180, id="no room for anybody"),
    ],
)
def test_blocks_are_as_long_as_they_must_be(
    people: int, most: int, gloves: int, least: int
) -> None:
    """Swab 90, the minute, drops 30 seconds."""
    found = least_first_part(people, first=90, second=30, least=60, most=most, gloves=gloves)

    assert found == least


def test_where_gloves_take_longer_than_the_wait_no_change_is_counted() -> None:
    """Staying with one person may then be the shorter way, so nothing is claimed."""
    found = least_first_part(2, first=10, second=5, least=4, most=100, gloves=20)

    assert found <= 2 * (10 + 4 + 5) + 20
    assert found >= 2 * 15
