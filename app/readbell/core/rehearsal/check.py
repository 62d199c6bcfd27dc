"""Whether a scenario and its assays fit together."""

from __future__ import annotations

from typing import TYPE_CHECKING

from readbell.core.board.entry import Do

if TYPE_CHECKING:
    from collections.abc import Iterator, Sequence

    from readbell.core.assay.assay import Assay
    from readbell.core.rehearsal.scenario import Scenario
    from readbell.core.rehearsal.virtual_cartridge import Shows


def faults_of(scenario: Scenario, assays: Sequence[Assay]) -> Iterator[str]:
    """Yield a sentence for each name in `scenario` that none of its `assays` has."""
    steps = {step.key for assay in assays for step in assay.steps}
    for place, act in enumerate(scenario.acts, start=1):
        if act.entry.do in (Do.STEP, Do.TAKE_BACK) and act.entry.step not in steps:
            known = ", ".join(step.key for step in assays[0].steps)
            yield f"act.{place}.step = {act.entry.step!r}: the assay has no such step: use {known}"
    ids = sorted({assay.id for assay in assays})
    for each in scenario.staff:
        for assay_id, _ in each.cleared:
            if assay_id not in ids:
                yield (
                    f"cleared.{assay_id} of operator {each.operator}: this scenario runs no such "
                    f"assay: use {', '.join(ids)}"
                )
    for person in scenario.persons:
        yield from _bands(f"person {person.id}", person.shows, assays)
    for sample in scenario.samples:
        yield from _bands(f"control {sample.number}", sample.shows, assays)
    for label, shows in scenario.cartridges.items():
        yield from _bands(f"cartridge {label}", shows, assays)


def _bands(whose: str, shows: Shows, assays: Sequence[Assay]) -> Iterator[str]:
    names = {
        name for assay in assays for line in assay.reading.lines for name in (line.key, line.mark)
    }
    one_line = any(len(assay.reading.lines) == 1 for assay in assays)
    for comes in shows.tests:
        if comes.line and comes.line not in names:
            yield (
                f"bands.test.{comes.line} of {whose}: the assay has no such line: "
                f"use {', '.join(sorted(names))}"
            )
        if not comes.line and not one_line:
            yield (
                f"bands.test of {whose}: the device has several lines: name each, as in "
                f"test.{assays[0].line_keys[0]}"
            )
