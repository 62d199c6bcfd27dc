"""The cyclic model solves a published problem, and agrees with the program's own search.

The line of twelve tanks is from L. W. Phillips and P. S. Unger, "Mathematical programming
solution of a hoist scheduling program", AIIE Transactions 8 (1976) 219-225, its numbers retyped.
That 521 is its shortest period is from memory of the literature; here it is computed: found,
and anything shorter refuted.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

import pytest

from core.plan.made_up import coupled, kit
from outside.repeat_model import Shop, Stay, shortest
from readbell.core.instant import SECOND
from readbell.core.plan.cyclic import shortest_round

if TYPE_CHECKING:
    from readbell.core.plan.work import Work

STAY_LEAST = (150, 90, 120, 90, 30, 60, 60, 45, 130, 120, 90, 30)
STAY_MOST = (200, 120, 180, 125, 40, 120, 120, 75, None, None, 120, 60)
LOADED = (31, 22, 22, 22, 25, 23, 22, 22, 22, 47, 27, 22, 30)
EMPTY = (
    # From tank 1 to 13 (where the line unloads), each to the tanks 0 to 12.
    (11, 0, 2, 5, 2, 8, 10, 13, 15, 17, 10, 3, 1),
    (14, 2, 0, 2, 0, 5, 8, 10, 13, 15, 12, 6, 3),
    (16, 5, 2, 0, 2, 3, 5, 8, 10, 13, 15, 8, 6),
    (14, 2, 0, 2, 0, 5, 8, 10, 13, 15, 12, 6, 3),
    (19, 8, 5, 3, 5, 0, 3, 5, 7, 10, 18, 11, 9),
    (22, 10, 8, 5, 8, 3, 0, 2, 5, 7, 20, 14, 11),
    (24, 13, 10, 8, 10, 5, 2, 0, 2, 5, 23, 16, 14),
    (26, 15, 13, 10, 13, 7, 5, 2, 0, 2, 25, 19, 16),
    (29, 17, 15, 13, 15, 10, 7, 5, 2, 0, 27, 21, 19),
    (6, 10, 12, 15, 12, 18, 20, 23, 25, 27, 0, 7, 9),
    (8, 3, 6, 8, 6, 11, 14, 16, 19, 21, 7, 0, 2),
    (10, 1, 3, 6, 3, 9, 11, 14, 16, 19, 9, 2, 0),
    (0, 11, 14, 16, 14, 19, 22, 24, 26, 29, 6, 8, 10),
)
LINE = Shop(
    takes=LOADED,
    # Move i ends at tank i + 1, and move j begins at tank j.
    travel=EMPTY,
    stays=[
        Stay(first=tank, second=tank + 1, least=least, most=most, alone=True)
        for tank, (least, most) in enumerate(zip(STAY_LEAST, STAY_MOST, strict=True))
    ],
)


def test_the_line_of_twelve_tanks_takes_521() -> None:
    """Found and proven; the loaded moves alone are 337."""
    assert sum(LOADED) == 337
    assert shortest(LINE, least=337, most=700) == 521


def test_520_is_refuted() -> None:
    """No period of 520 or less keeps every tank's limits."""
    assert shortest(LINE, least=337, most=520) is None


def as_shop(work: Work, people: int) -> Shop:
    """A kit as the model sees it, in whole seconds: as many new people in each round."""
    takes = [piece.hands.usual // SECOND for piece in work.pieces]
    count = len(takes)
    moves = count * people
    return Shop(
        takes=takes * people,
        travel=[[0] * moves for _ in range(moves)],
        stays=[
            Stay(
                first=person * count + lag.first,
                second=person * count + lag.second,
                least=lag.usual_gap().least // SECOND,
                most=None if (most := lag.usual_gap().most) is None else most // SECOND,
            )
            for person in range(people)
            for lag in work.lags
        ],
    )


KITS = [
    pytest.param(kit(90, (60, 120), 30, (900, 1_200), 15), 1, id="main"),
    pytest.param(kit(90, (60, 120), 30, (900, 1_200), 15), 2, id="main, pairs"),
    pytest.param(kit(90, (60, 60), 30, (900, 1_200), 15), 1, id="exact wait"),
    pytest.param(kit(90, (60, 120), 30, (900, 915), 15), 1, id="exact reading"),
    pytest.param(kit(90, (60, 60), 30, (900, 915), 15), 1, id="everything exact"),
    pytest.param(kit(90, (60, 60), 30, (900, 915), 15), 2, id="everything exact, pairs"),
    pytest.param(kit(120, (60, 120), 40, (900, 1_200), 20), 2, id="slow hands, pairs"),
    pytest.param(coupled(2, (5, 5), 2), 3, id="coupled tasks, three to a round"),
]


@pytest.mark.parametrize(("work", "people"), KITS)
def test_the_model_finds_what_the_program_found(work: Work, people: int) -> None:
    """Two ways that share no code, on whole seconds."""
    found = shortest_round(work, people)
    assert found.proven
    assert found.round is not None
    seconds = found.round.period / SECOND
    total = people * work.hands.usual // SECOND

    by_model = shortest(as_shop(work, people), least=total, most=int(seconds) + people * 10)

    assert seconds.denominator == 1
    assert by_model == seconds
