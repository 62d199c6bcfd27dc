"""The simulation against the two oldest formulas of queues.

Erlang's C formula (A. K. Erlang, 1917) for independent arrivals and exponential work, and the
formula of Pollaczek and Khinchine (1930, 1932) for one server and any work. Its inputs and
results are computed: closed forms. Each run begins empty, so its first people are left out.
"""

from __future__ import annotations

from math import factorial
from typing import TYPE_CHECKING

import numpy as np
import pytest

from readbell.core.plan.capacity import Rule
from readbell.forecast.arrays import ArrayPlayer, _Rows
from readbell.forecast.draws import always, exponential, lognormal
from readbell.forecast.job import Job

if TYPE_CHECKING:
    from numpy.typing import NDArray

MEAN = 10_000
RUNS, PEOPLE, WARMING, BATCHES = 1_500, 3_000, 300, 4
CLOSE = 0.005


def waits(takes: tuple[int, ...], load: float, servers: int) -> NDArray[np.int32]:
    """How long people wait, in milliseconds, once the queue has settled."""
    job = Job(between=exponential(MEAN / load), takes=(takes,), touches=(False,), gloves=0)
    player = ArrayPlayer(job, Rule.BUSY, servers, PEOPLE, 2_026)
    found = []
    for batch in range(BATCHES):
        runs = range(batch * RUNS, (batch + 1) * RUNS)
        rows = _Rows(player, RUNS, *player.drawn(runs))
        for _ in range(PEOPLE):
            rows.step()
        found.append(rows._waits.reshape(PEOPLE, RUNS)[WARMING:])
    return np.concatenate(found)


def erlang_c(load: float, servers: int) -> float:
    """The chance that somebody has to wait."""
    full = load**servers / factorial(servers) * servers / (servers - load)
    return full / (sum(load**each / factorial(each) for each in range(servers)) + full)


@pytest.mark.parametrize(("load", "servers", "chance"), [(1, 2, 1 / 3), (2, 4, 4 / 23)])
def test_waits_are_as_likely_and_as_long_as_erlang_says(
    load: float, servers: int, chance: float
) -> None:
    """The share of people who wait, and how long they wait on average: within 0.5 %."""
    assert erlang_c(load, servers) == pytest.approx(chance)

    found = waits(exponential(MEAN), load, servers)

    assert np.mean(found > 0) == pytest.approx(chance, rel=CLOSE)
    assert np.mean(found) == pytest.approx(chance * MEAN / (servers - load), rel=CLOSE)


@pytest.mark.parametrize(
    ("takes", "squared", "load"),
    [
        pytest.param(always(MEAN), 1.0, 0.6, id="work that never varies"),
        pytest.param(lognormal(MEAN, 0.25), float(np.exp(0.25**2)), 0.4, id="lognormal work"),
    ],
)
def test_waits_are_as_long_as_pollaczek_and_khinchine_say(
    takes: tuple[int, ...], squared: float, load: float
) -> None:
    """Mean wait of one server, from the load and the second moment of the work: within 0.5 %."""
    expected = load * MEAN * squared / (2 * (1 - load))

    assert np.mean(waits(takes, load, 1)) == pytest.approx(expected, rel=CLOSE)
