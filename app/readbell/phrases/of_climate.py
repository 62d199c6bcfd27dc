"""Temperature in words."""

from __future__ import annotations

from typing import TYPE_CHECKING

from readbell.core.climate.climate import range_of
from readbell.core.climate.events import ThermometerFault, Where
from readbell.phrases.board_words import some_of
from readbell.phrases.standing import labels

if TYPE_CHECKING:
    from readbell.core.assay.assay import Assay
    from readbell.core.board.board import Board
    from readbell.core.climate.events import TemperatureNoted, ThermometerFailed

PLACES: dict[Where, str] = {Where.BAY: "bay", Where.STORE: "store"}


def tell_of_temperature(event: TemperatureNoted, board: Board) -> str:
    """Return what was noted and, where it is out of range, for which assays and cartridges."""
    said = f"{PLACES[event.where].capitalize()}: {write_celsius(event.celsius)}."
    if not event.outside:
        return said
    assays = [board.assays[each].assay for each in event.outside if each in board.assays]
    wanted = some_of(list(dict.fromkeys(say_range(each, event.where) for each in assays)))
    said += f" OUT OF RANGE: {wanted}."
    if event.touched:
        said += f" Their readings wait for a supervisor: {labels(board, event.touched)}."
    return said


def tell_of_thermometer(event: ThermometerFailed) -> str:
    """Return that a thermometer does not speak for itself any more, and what to do."""
    return (
        f"The thermometer of the {PLACES[event.where]} {_FAULTS[event.fault]}. "
        "Read it off and type it, until it speaks again."
    )


_FAULTS: dict[ThermometerFault, str] = {
    ThermometerFault.NOT_STARTED: "could not be started",
    ThermometerFault.NO_FIGURE: "says something that is no temperature",
    ThermometerFault.ENDED: "has stopped",
}


def write_celsius(celsius: float) -> str:
    """Return degrees Celsius with as many figures as were given, one after the point at least."""
    return f"{round(celsius, 2):.2f}".removesuffix("0") + " °C"


def say_range(assay: Assay, where: Where) -> str:
    """Return which assay wants how many degrees there."""
    least, most = range_of(assay, where)
    does = "is run" if where is Where.BAY else "is kept"
    return f"{assay.id} {does} at {least:g} to {most:g} °C"
