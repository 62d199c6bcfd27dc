"""Agreement on one category: held to figures worked out by hand and to made-up pairs of readers."""

from __future__ import annotations

import numpy as np
import pytest

from readbell.core.statistics.agreement import of_category


@pytest.mark.parametrize(
    ("table", "positive", "negative"),
    [
        # D. V. Cicchetti, A. R. Feinstein 1990: 2a / (2a + b + c) and 2d / (2d + b + c). The formula is
        # from memory; the tables are made up or those of the kappa examples, the arithmetic by hand.
        ([[20, 5], [10, 15]], 40 / 55, 30 / 45),
        ([[45, 15], [25, 15]], 90 / 130, 30 / 70),
        ([[25, 35], [5, 35]], 50 / 90, 70 / 110),
        # Two that agree alike, and of which kappa is high and low (the paradox that the paper is about).
        ([[40, 9], [6, 45]], 80 / 95, 90 / 105),
        ([[80, 10], [5, 5]], 160 / 175, 10 / 25),
    ],
)
def test_agreement_on_positives_and_on_negatives_is_worked_out_as_by_hand(
    table: list[list[int]], positive: float, negative: float
) -> None:
    """Five tables of two answers."""
    first, second = of_category(table, 0), of_category(table, 1)
    assert first is not None
    assert second is not None

    assert first.value == pytest.approx(positive, abs=1e-12)
    assert second.value == pytest.approx(negative, abs=1e-12)


@pytest.mark.parametrize("cells", [(0.20, 0.03, 0.02), (0.05, 0.03, 0.03), (0.45, 0.10, 0.05)])
def test_the_interval_holds_what_is_true_in_nineteen_of_twenty_made_up_studies(
    cells: tuple[float, float, float],
) -> None:
    """Two hundred strips each; numpy draws them, and knows what the readers really do."""
    both, one, other = cells
    true = 2 * both / (2 * both + one + other)
    random = np.random.default_rng(5)
    drawn = random.multinomial(200, [both, one, other, 1 - sum(cells)], size=3_000)
    found = [of_category([[a, b], [c, d]], 0) for a, b, c, d in drawn.tolist()]
    held = [each.low <= true <= each.high for each in found if each is not None]

    assert sum(held) / len(held) == pytest.approx(0.95, abs=0.015)
