"""An act that was refused, as it is kept: what was tried, by whom, on what, and what was seen."""

from __future__ import annotations

import json
from typing import TYPE_CHECKING

from readbell.core.board.acts import NAMES
from readbell.core.board.events import ActRefused
from readbell.core.cartridge.acts import CorrectReading, Look, Read
from readbell.core.cartridge.unverified import ReadUnverified
from readbell.core.private import Private

if TYPE_CHECKING:
    from collections.abc import Callable

    from readbell.core.board.acts import Act
    from readbell.core.board.board import Board
    from readbell.core.instant import Instant
    from readbell.core.refusal import Refusal

TRIED = (
    "cartridge",
    "lot",
    "number",
    "step",
    "steps",
    "done_at",
    "give_or_take",
    "witness",
    "reason",
    "span",
    "operator",
    "person",
    "roles",
)
"""What a near miss keeps of an act, besides who tried it on which cartridge."""
WITH_BANDS = (Look, Read, CorrectReading, ReadUnverified)
"""Acts that say what was seen."""


def near_miss(
    board: Board,
    act: Act,
    refusal: Refusal,
    now: Instant,
    keep_apart: Callable[[str], Private],
) -> ActRefused:
    """Return what is kept of `act`, which was refused on `board` at `now`."""
    aim = getattr(act, "aim", None)
    by = aim.by if aim is not None else getattr(act, "by", None)
    cartridge = None if aim is None else board.labels.get(aim.cartridge)
    tried = {
        name: value
        for name in TRIED
        if (value := getattr(act, name, None)) is not None
        and value != ""
        and not isinstance(value, Private)
    }
    if aim is not None:
        tried |= {"cartridge": aim.cartridge, "scanned": aim.scanned, "person": aim.person}
        tried |= {} if aim.second is None else {"second": aim.second}
    entered = json.dumps({"by": by, **tried}, sort_keys=True, ensure_ascii=False, default=str)
    return ActRefused(
        at=now,
        by=None if by is None else board.operators.get(by),
        act=NAMES[type(act)],
        code=refusal.code,
        cartridge=cartridge,
        entered=keep_apart(entered),
        bands=act.bands if isinstance(act, WITH_BANDS) else None,
    )
