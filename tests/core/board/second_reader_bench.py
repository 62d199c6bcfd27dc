"""A bench on whose site some strips are read again by somebody else."""

from __future__ import annotations

from typing import TYPE_CHECKING

from builders import FAINT, Bench, private
from readbell.core.assay.reading_rules import SecondReader
from readbell.core.board.acts import RegisterOperator
from readbell.core.policy.second_reading import SecondReaderRule

if TYPE_CHECKING:
    from readbell.core.reading.bands import Bands

CLOSED = "22:30.001"


def ready(when: SecondReader = SecondReader.FAINT, nth: int = 0, assay: str = "") -> Bench:
    """A bench with the specimen of P-001 on the well of C1, where second readers are asked for."""
    made = Bench()
    made.decides(second_reader=(SecondReaderRule(assay=assay, when=when, nth=nth),))
    made.to_well()
    return made


def due(seen: Bands = FAINT, when: SecondReader = SecondReader.FAINT) -> Bench:
    """The same, read once by op-1 at 18:00."""
    made = ready(when)
    made.must(made.read_act(seen), "18:00")
    return made


def third(made: Bench) -> None:
    """Have a third operator, who has read nothing."""
    made.must(RegisterOperator(by="op-1", operator=private("op-3")))
