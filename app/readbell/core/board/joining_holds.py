"""What is held for a supervisor as both sides of a cut link are joined up."""

from __future__ import annotations

from typing import TYPE_CHECKING

from readbell.core.board.contradicting import contradicted_by
from readbell.core.board.joining_rules import ACTS
from readbell.core.board.lot_correction import is_begun_too_late
from readbell.core.board.lot_doubt import held_with_lot
from readbell.core.board.meanwhile import LOOKS
from readbell.core.board.samples import since_last_pass
from readbell.core.board.subjects import is_patients
from readbell.core.cartridge.events import CartridgeLabelled, ReadingCorrected
from readbell.core.cartridge.stage import LIFE
from readbell.core.controls.events import SampleJudged
from readbell.core.controls.verdict import Verdict
from readbell.core.review.events import ReadingHeld
from readbell.core.review.reasons import HoldReason
from readbell.core.stations.apart import ApartReason

if TYPE_CHECKING:
    from collections.abc import Iterable, Iterator

    from readbell.core.board.board import Board
    from readbell.core.board.event import Event
    from readbell.core.board.meanwhile import Meanwhile
    from readbell.core.cartridge.cartridge import Cartridge
    from readbell.core.instant import Instant


class Holds:
    """Which cartridges are to be held, and why, as far as it has come out.

    Args:
        there: what the others recorded meanwhile.
    """

    def __init__(self, there: Meanwhile) -> None:
        self._there = there
        self._reasons: dict[str, dict[HoldReason, None]] = {}
        """By cartridge, each once, in order."""
        self._readers: dict[str, str] = {}
        """By cartridge, who looked at it here, where that is kept apart."""
        self._said: dict[str, None] = {}
        """Cartridges of which somebody here said what is on them, each once, in order."""
        self._again: set[tuple[str, HoldReason]] = set()
        """Which of these are held already, and are said again all the same."""

    def add(self, cartridge_id: str, reason: HoldReason) -> None:
        """Note that a cartridge is to be held."""
        self._reasons.setdefault(cartridge_id, {})[reason] = None

    def note_parted(self, board: Board, event: Event, reason: ApartReason) -> None:
        """Note what is to be held because something of ours is apart."""
        if reason is ApartReason.LABEL_TAKEN and isinstance(event, CartridgeLabelled):
            bearer = board.labels.get(event.label)
            if bearer is not None:  # two devices of one label: nobody knows which one was looked at
                self.add(bearer, HoldReason.ACTED_APART)
        elif isinstance(event, LOOKS):
            self.add(event.cartridge, HoldReason.READ_ON_BOTH_SIDES)
            if event.by in board.names:
                self._readers[event.cartridge] = event.by
        elif isinstance(event, ACTS):
            self.add(event.cartridge, HoldReason.ACTED_APART)

    def note_standing(self, board: Board, event: Event) -> None:
        """Note what is to be held although it stands: something came about meanwhile."""
        if isinstance(event, (*LOOKS, ReadingCorrected)):
            cartridge = board.cartridge(event.cartridge)
            assert cartridge is not None  # noqa: S101  # the board has just taken it in
            self._said[cartridge.id] = None
            with_lot = held_with_lot(board, cartridge) if is_patients(cartridge) else None
            if with_lot is not None:
                self.add(cartridge.id, with_lot)
            retired = self._there.retired.get(event.by)
            if retired is not None and retired <= event.at:
                self.add(cartridge.id, HoldReason.RETIRED_MEANWHILE)
        elif isinstance(event, CartridgeLabelled):
            cartridge = board.cartridge(event.cartridge)
            assert cartridge is not None  # noqa: S101  # as above
            if is_begun_too_late(board, cartridge):
                self.add(cartridge.id, HoldReason.LOT_EXPIRED)
        elif isinstance(event, SampleJudged) and event.verdict is Verdict.FAILED:
            kind = board.samples.materials[event.material].kind
            for each in since_last_pass(board, event.lot, kind):
                self.add(each.id, HoldReason.CONTROL_FAILED)
        elif isinstance(event, ReadingHeld):
            cartridge = board.cartridge(event.cartridge)
            releases = () if cartridge is None else cartridge.releases
            if any(each.at >= event.at for each in releases):
                # Whoever released it did not know of this reason, though its instant is earlier.
                for reason in event.reasons:
                    self.add(event.cartridge, reason)
                    self._again.add((event.cartridge, reason))

    def follow(self, board: Board, at: Instant) -> Iterator[ReadingHeld]:
        """Yield what is to be recorded at `at`, after all else is on the board."""
        self._add_contradicting(board)
        for key, found in self._reasons.items():
            cartridge = board.cartridge(key)
            if cartridge is None or not _can_be_held(cartridge):
                continue
            reasons = tuple(
                each
                for each in _graver(found)
                if each not in cartridge.held or (key, each) in self._again
            )
            if reasons:
                by = self._readers.get(key)
                yield ReadingHeld(at=at, by=by, cartridge=key, reasons=reasons)

    def _add_contradicting(self, board: Board) -> None:
        """Note each two of one person that contradict each other, one said here and one there.

        Neither side could see it. What one of them alone could see it has held.
        """
        for key in self._said:
            cartridge = board.cartridge(key)
            assert cartridge is not None  # noqa: S101  # as above
            for other in contradicted_by(board, cartridge):
                if self._there.said_what_is_on(other.id):
                    self.add(key, HoldReason.CONTRADICTS_ANOTHER)
                    self.add(other.id, HoldReason.CONTRADICTS_ANOTHER)


def _can_be_held(cartridge: Cartridge) -> bool:
    """Say whether something may come of `cartridge` that a supervisor has to look at first.

    What lapsed with nothing seen on it comes to nothing by itself, and stays as it is.
    """
    seen = cartridge.reading is not None or bool(cartridge.early_looks)
    return ReadingHeld in LIFE[cartridge.stage] and (seen or not cartridge.has_ended)


def _graver(found: Iterable[HoldReason]) -> Iterator[HoldReason]:
    """Yield the reasons without the lesser of two that say the same."""
    reasons = tuple(found)
    both = HoldReason.READ_ON_BOTH_SIDES in reasons
    yield from (each for each in reasons if not (both and each is HoldReason.ACTED_APART))
