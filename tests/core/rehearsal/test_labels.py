"""A scenario's C1 is the C01 that a trainee writes, or its own device would never be seen."""

from __future__ import annotations

import pytest

from readbell.core.rehearsal.labels import as_labelled, as_written
from readbell.core.rehearsal.scenario import Flaw, FlawKind, Scenario
from readbell.core.rehearsal.virtual_cartridge import Shows

NEVER = Shows(control_from=None)
SCENARIO = Scenario(
    title="Two",
    starts=0,
    timezone="UTC",
    assay="quick",
    operators=("op-1",),
    lots=(),
    persons=(),
    cartridges={"C1": NEVER, "C12": Shows()},
    flaws=(
        Flaw(cartridge="C2", kind=FlawKind.LABEL_SWAPPED, other="C3"),
        Flaw(cartridge="X", kind=FlawKind.OUT_OF_DATE),
    ),
)


@pytest.mark.parametrize(
    ("label", "written"),
    [("C1", "C01"), ("C01", "C01"), ("C12", "C12"), ("C123", "C123"), ("X", "X"), ("", ""),
     ("7", "07"), ("C007", "C07")],
)  # fmt: skip
def test_a_label_is_written_with_two_digits_at_least(label: str, written: str) -> None:
    """As a board offers it."""
    assert as_written(label) == written


def test_devices_are_called_by_the_labels_they_really_bear() -> None:
    """Those that bear none yet keep the scenario's."""
    found = as_labelled(SCENARIO, {"C01", "C03", "C12"})

    assert dict(found.cartridges) == {"C01": NEVER, "C12": Shows()}
    assert [(each.cartridge, each.other) for each in found.flaws] == [("C2", "C03"), ("X", "")]


def test_a_label_that_was_written_as_the_scenario_has_it_stays() -> None:
    """Where both stand on devices, the very one is meant."""
    found = as_labelled(SCENARIO, {"C1", "C01"})

    assert set(found.cartridges) == {"C1", "C12"}


def test_where_no_device_is_its_own_nothing_is_made_anew() -> None:
    """It is asked with every picture."""
    plain = Scenario(
        title="", starts=0, timezone="UTC", assay="", operators=(), lots=(), persons=()
    )

    assert as_labelled(plain, {"C01"}) is plain
