"""What thermometers say by themselves, turned into acts of the bay."""

from __future__ import annotations

from typing import TYPE_CHECKING

from readbell.bay.errors import BayClosedError
from readbell.core.assay.check import COLDEST, HOTTEST
from readbell.core.board.temperature import is_worth_noting
from readbell.core.climate.acts import FailThermometer, NoteTemperature
from readbell.core.climate.events import ThermometerFault

if TYPE_CHECKING:
    from readbell.bay.bay import Bay
    from readbell.core.climate.events import Where


async def hear_thermometer(bay: Bay, where: Where, said: float | ThermometerFault) -> None:
    """Record what the thermometer of `where` says, if it is worth a line of the record."""
    if not isinstance(said, ThermometerFault) and not COLDEST <= said <= HOTTEST:
        said = ThermometerFault.NO_FIGURE
    try:
        if isinstance(said, ThermometerFault):
            known = bay.board.climate.failed.get(where)
            if known is None or known.fault is not said:
                await bay.do(FailThermometer(where=where, fault=said))
        elif is_worth_noting(bay.board, where, said, bay.now()):
            await bay.do(NoteTemperature(by=None, where=where, celsius=said))
    except BayClosedError:
        return  # it spoke as the bay was being closed
