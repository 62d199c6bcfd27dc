"""How many repeats a person gets: as many as the site gives within a day, and then a referral.

A repeat is a further test of one person by one assay after one of which nothing reportable
came: invalid, lapsed or withheld. What was void before anything could be read of it, or was
taken back, counts for nothing here: nobody has read two strips for it.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

from readbell.core.cartridge.events import OWED_NO_REPEAT
from readbell.core.instant import DAY, earlier
from readbell.core.reading.interpretation import Outcome
from readbell.core.refusal import Refusal, RefusalCode

if TYPE_CHECKING:
    from collections.abc import Sequence

    from readbell.core.board.board import Board
    from readbell.core.cartridge.cartridge import Cartridge
    from readbell.core.instant import Instant

_NOTHING_CAME = (Outcome.INVALID, Outcome.WITHHELD)


def refuse_further(board: Board, before: Sequence[Cartridge], now: Instant) -> Refusal | None:
    """Say why a person gets no further test at `now`, or None.

    Args:
        board: the bay.
        before: all that this person had by the same assay, in order, as it is at `now`.
        now: when the next one would be begun.
    """
    if not _is_over_limit(board, before, now):
        return None
    return Refusal(code=RefusalCode.REPEAT_LIMIT, subject=board.policy.referral)


def asks_for_repeat(cartridge: Cartridge) -> bool:
    """Say whether nothing reportable came of `cartridge`: invalid, withheld or void."""
    if cartridge.voided is not None or cartridge.withdrawn is not None:
        return True
    return cartridge.outcome in _NOTHING_CAME


def is_owed_repeat(cartridge: Cartridge) -> bool:
    """Say whether the person of `cartridge` is to have a fresh one; who declined or left is not."""
    voided = cartridge.voided
    is_gone = voided is not None and voided.reason in OWED_NO_REPEAT
    return asks_for_repeat(cartridge) and not is_gone


def gets_no_repeat(board: Board, cartridge: Cartridge) -> bool:
    """Say whether the person of `cartridge`, of which nothing came, is referred and not repeated."""
    if cartridge.outcome not in _NOTHING_CAME:
        return False
    ids = board.history.get(cartridge.labelled.subject, ())
    known = [board.cartridge(each) for each in ids[: ids.index(cartridge.id) + 1]]
    before = [each for each in known if each is not None and each.assay.id == cartridge.assay.id]
    return _is_over_limit(board, before, cartridge.labelled.at)


def repeat_of(board: Board, cartridge: Cartridge) -> Cartridge | None:
    """Return the cartridge by which `cartridge` was repeated, the first that was not void, or None."""
    ids = board.history.get(cartridge.labelled.subject, ())
    for each in ids:
        found = board.cartridge(each)
        if found is not None and found.labelled.repeat_of == cartridge.id and found.voided is None:
            return found
    return None


def _is_over_limit(board: Board, before: Sequence[Cartridge], now: Instant) -> bool:
    limit = board.policy.repeat_limit
    return limit > 0 and _failed_in_a_row(before, now) > limit


def _failed_in_a_row(before: Sequence[Cartridge], now: Instant) -> int:
    """Count the last tests of which nothing came, back to one of which something did."""
    count = 0
    for each in reversed(before):
        if each.labelled.at < earlier(now, DAY):
            break  # what lies further back was another visit
        if each.voided is not None or each.withdrawn is not None:
            continue
        if each.outcome not in _NOTHING_CAME:
            break
        count += 1
    return count
