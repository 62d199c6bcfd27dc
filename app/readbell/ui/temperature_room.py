"""The room of temperature: what was measured, what is wanted, and when it is due."""

from __future__ import annotations

from typing import TYPE_CHECKING

from readbell.core.board.temperature import next_due
from readbell.core.climate.events import Where
from readbell.phrases.of_climate import PLACES, say_range, tell_of_thermometer, write_celsius
from readbell.ui.ink import Line, Piece, Token, line
from readbell.ui.wrapped import wrapped

if TYPE_CHECKING:
    from collections.abc import Iterator

    from readbell.hand.scene import Scene

NEVER = "never measured"
OUT_OF_RANGE = "OUT OF RANGE"


def temperature_room(scene: Scene, width: int, height: int) -> tuple[Line, ...]:
    """Return what the room says, cut to `height` lines."""
    lines = [
        line("  ", Piece(each, token, bold=bold))
        for said, token, bold in _told(scene)
        for each in wrapped(said, max(1, width - 4))
    ]
    return tuple(lines[:height])


def _told(scene: Scene) -> Iterator[tuple[str, Token, bool]]:
    board, face = scene.board, scene.face
    adopted = list({each.assay.id: each.assay for each in board.assays.values()}.values())
    for where in Where:
        noted = board.climate.at(where)
        name = PLACES[where].capitalize()
        if noted is None:
            yield f"{name}: {NEVER}.", Token.TEXT, True
        else:
            who = board.name(noted.by) if noted.by is not None else "the thermometer itself"
            at = f"{face.local(noted.at):%d %b} {face.time(noted.at)}"
            said = f"{name}: {write_celsius(noted.celsius)}, {at}, by {who or 'erased'}."
            out = bool(noted.outside)
            yield (
                f"{said} {OUT_OF_RANGE}." if out else said,
                Token.HANDS if out else Token.TEXT,
                True,
            )
        failed = board.climate.failed.get(where)
        if failed is not None:
            yield f"   {tell_of_thermometer(failed)}", Token.HANDS, True
        due = next_due(board, where)
        if due is not None:
            late = due <= scene.now
            words = f"{'DUE since' if late else 'due'} {face.time(due)}"
            yield f"   {words}", Token.HANDS if late else Token.SOFT, late
        for assay in adopted:
            yield f"   {say_range(assay, where)}", Token.SOFT, False
