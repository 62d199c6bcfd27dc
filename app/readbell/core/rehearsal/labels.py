"""The labels of a scenario as they were really written.

A scenario numbers its devices C1, C2; whoever sits at a board writes the labels it offers,
C01, C02. Both mean the first and the second device that is taken.
"""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from collections.abc import Container

    from readbell.core.rehearsal.scenario import Scenario

DIGITS = "0123456789"
WRITTEN_WITH = 2
"""So many digits a board writes at least."""


def as_labelled(scenario: Scenario, labels: Container[str]) -> Scenario:
    """Return `scenario` with the label of each of its devices as it stands among `labels`.

    What was not labelled yet keeps the label that the scenario gives it.
    """
    if not (scenario.cartridges or scenario.flaws):
        return scenario

    def own(label: str) -> str:
        written = as_written(label)
        return written if label not in labels and written in labels else label

    return replace(
        scenario,
        cartridges={own(label): shows for label, shows in scenario.cartridges.items()},
        flaws=tuple(
            replace(each, cartridge=own(each.cartridge), other=own(each.other))
            for each in scenario.flaws
        ),
    )


def as_written(label: str) -> str:
    """Return `label` as a board writes it: with two digits at least, where it ends in any."""
    head = label.rstrip(DIGITS)
    number = label[len(head) :]
    return f"{head}{int(number):0{WRITTEN_WITH}d}" if number else label
