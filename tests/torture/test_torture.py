"""Every trial, short: what `make torture` tries for long."""

from __future__ import annotations

from typing import TYPE_CHECKING

import pytest

from torture.trial import every_trial, ground

if TYPE_CHECKING:
    from torture.trial import Trial

SEED = 1


@pytest.mark.parametrize("trial", [pytest.param(each, id=each.name) for each in every_trial()])
def test_nothing_acknowledged_is_lost(trial: Trial) -> None:
    """A journal that loses one line, or a countdown that is wrong once, is worse than paper."""
    with ground(SEED, long=False) as place:
        rows = list(trial.run(place))

    assert rows
    assert [(row.what, row.lost, row.wrong) for row in rows if not row.held] == []
