"""An act says how cartridge and person were made sure of, and claims nothing that was not done."""

from __future__ import annotations

from dataclasses import replace

from builders import Bench
from readbell.core.cartridge.acts import Aim
from readbell.core.cartridge.events import How, Identified, StepDone


def test_what_nobody_checked_is_left_open() -> None:
    """The program never fills in what a person is to check."""
    assert Aim(by="op-1", cartridge="C1").identified == Identified(cartridge=None, person=None)


def test_how_it_was_made_sure_goes_into_the_record() -> None:
    """A picked cartridge is a weaker proof than a scanned one, and the record must tell."""
    bench = Bench()
    bench.label()
    act = bench.step_act("buffer")
    aim = replace(act.aim, scanned="C1", cartridge_by=How.SCANNED, person_by=How.PICKED)
    (event,) = bench.must(replace(act, aim=aim))

    assert isinstance(event, StepDone)
    assert event.identified == Identified(cartridge=How.SCANNED, person=How.PICKED)
