"""What a day sheet says of one shift: figures and codes, for whoever finds the words."""

from __future__ import annotations

from collections import Counter
from typing import TYPE_CHECKING

from readbell.core.board.events import ActRefused
from readbell.core.board.reconcile import reconcile
from readbell.core.board.review import needs_review, own_reviews
from readbell.core.cartridge.events import StepTakenBack
from readbell.core.climate.events import TemperatureNoted
from readbell.core.made_later import dataclass
from readbell.core.stock.events import LotCorrected

if TYPE_CHECKING:
    from collections.abc import Iterable

    from readbell.core.board.board import Board
    from readbell.core.board.event import Event
    from readbell.core.board.reconcile import LotShift
    from readbell.core.board.review import OwnReview
    from readbell.core.cartridge.cartridge import Cartridge
    from readbell.core.refusal import RefusalCode
    from readbell.core.shift.book import Shift
    from readbell.core.shift.events import DaySheetSigned


@dataclass(frozen=True, slots=True, kw_only=True)
class DaySheet:
    """One shift, as it stood when it was closed; or as it stands, while it runs."""

    shift: Shift
    signed: DaySheetSigned | None
    """Signed since; the rest is older than that."""
    cartridges: tuple[Cartridge, ...]
    """Those labelled in the shift, in order; then what ran in it and was labelled before."""
    held: tuple[Cartridge, ...]
    """Whose readings still wait for a supervisor."""
    temperatures: tuple[TemperatureNoted, ...]
    lots: tuple[LotShift, ...]
    corrected: tuple[LotCorrected, ...]
    """Lots that had been entered wrongly and were corrected, in order."""
    own_reviews: tuple[OwnReview, ...]
    near_misses: tuple[tuple[RefusalCode, int], ...]
    """How often each refusal came, the most frequent first."""
    taken_back: tuple[tuple[Cartridge, StepTakenBack], ...]
    """What was confirmed by mistake and mended, in order: it harmed nobody, as a near miss."""
    operators: tuple[str, ...]
    """Keys of those who did something."""


def make_day_sheet(
    board: Board, shift: Shift, events: Iterable[Event], signed: DaySheetSigned | None
) -> DaySheet:
    """Return the day sheet of `shift`.

    Args:
        board: as it was when the shift was closed; as it is, while it runs.
        shift: which one.
        events: what happened in it, in order.
        signed: the signature, if there is one.
    """
    kept = tuple(events)
    since = shift.opened.at
    concerned = dict.fromkeys(
        found for event in kept if (found := getattr(event, "cartridge", None)) is not None
    )
    found = [each for key in concerned if (each := board.cartridge(key)) is not None]
    refused = Counter(each.code for each in kept if isinstance(each, ActRefused))
    doers = dict.fromkeys(by for each in kept if (by := getattr(each, "by", None)) is not None)
    return DaySheet(
        shift=shift,
        signed=signed,
        cartridges=tuple(sorted(found, key=lambda each: (each.labelled.at < since, each.ordinal))),
        held=tuple(each for each in found if needs_review(each)),
        temperatures=tuple(each for each in kept if isinstance(each, TemperatureNoted)),
        lots=reconcile(board, since, None if shift.closed is None else shift.closed.at),
        corrected=tuple(each for each in kept if isinstance(each, LotCorrected)),
        own_reviews=own_reviews(board, since),
        near_misses=tuple(refused.most_common()),
        taken_back=tuple(
            (cartridge, each)
            for each in kept
            if isinstance(each, StepTakenBack)
            and (cartridge := board.cartridge(each.cartridge)) is not None
        ),
        operators=tuple(doers),
    )
