"""What comes of it when a strip of a plain bay is looked at, read, read again, or a slip is mended."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from machine.plain_cartridge import gravest
from machine.plain_contradicting import hold_both, says
from machine.plain_parts import MINUTE
from machine.plain_time import TimeLine

if TYPE_CHECKING:
    from machine.plain_cartridge import Cartridge, Seen
    from machine.plain_parts import Code


@dataclass
class Readings(TimeLine):
    """What eyes saw, and what it comes to."""

    def look(self, found: Cartridge, seen: Seen, by: str) -> Code:
        """Look before the window: only a valid positive may come of it."""
        if found.applied is None:
            return "out-of-order"
        early, opens, _, _ = found.window()
        if found.unsure:
            return "window-closed"
        if early is None or self.now >= opens or found.seen is not None:
            return "not-allowed"
        if self.now < early:
            return "too-early"
        if not seen.is_whole(found.assay.lines):
            return "bad-bands"
        if not seen.ran:
            return "early-no-control"
        if not seen.shown:
            return "early-negative"
        before = says(found)
        found.early |= seen.shown
        hold_both(self.cartridges, found, before)
        self._was_seen(found, by)
        return None

    def read(self, found: Cartridge, seen: Seen, by: str) -> Code:
        """Read the strip inside its window."""
        if found.applied is None:
            return "out-of-order"
        if found.unsure:
            return "window-closed"
        if self.now < found.window()[1]:
            return "too-early"
        if not seen.is_whole(found.assay.lines):
            return "bad-bands"
        outcomes = found.judge(seen)
        if found.seen is not None:
            return self._read_again(found, found.judge(found.seen), outcomes, by)
        found.seen, found.read_by, found.read_at = seen, by, self.now
        self._was_seen(found, by)
        twice = found.assay.faint_is_read_twice and seen.is_faint
        if twice and gravest(outcomes) != "withheld":
            found.awaits = True
            found.fallen.discard(("read-now", ""))
        else:
            found.read_to_its_end_at = self.now
            self._settle(found, outcomes)
        return None

    def _read_again(
        self, found: Cartridge, first: dict[str, str], again: dict[str, str], by: str
    ) -> Code:
        """Take in what somebody else read: what the two do not agree on is withheld."""
        if by == found.read_by:
            return "not-allowed"
        both = {
            name: again[name] if again[name] == word else "withheld" for name, word in first.items()
        }
        if any(both[name] == "withheld" != word for name, word in first.items()):
            found.held.add("readers-disagree")
        found.awaits, found.second, found.read_to_its_end_at = False, True, self.now
        self._was_seen(found, by)
        self._settle(found, both)
        return None

    def _was_seen(self, found: Cartridge, by: str) -> None:
        found.who_saw.add(by)
        if self.lots[found.lot].held:
            found.held.add("lot-on-hold")

    def _settle(self, found: Cartridge, outcomes: dict[str, str]) -> None:
        """Put down what a reading comes to; held if it denies what was seen early before, or another says."""
        said = says(found)
        found.outcomes = outcomes
        hold_both(self.cartridges, found, said)
        negative = {name for name, word in outcomes.items() if word == "negative"}
        before = found.repeats
        while before is not None:
            other = self.cartridges[before]
            denied = {name for name in other.early if other.outcomes.get(name) == "withheld"}
            if negative & denied:
                found.held.add("contradicts-earlier")
            before = other.repeats

    def correct(self, found: Cartridge, seen: Seen, by: str) -> Code:
        """Mend a slip of the keys."""
        if found.seen is None:
            return "out-of-order"
        if found.told and found.told_at >= found.read_at:
            return "already-read"
        if found.withdrawn:
            return "already-ended"
        if found.second or found.amended is not None:
            return "already-read"
        closes = found.window()[3]
        until = found.read_at + 5 * MINUTE if closes is None else closes
        if found.unsure or self.now > until:
            return "already-read"
        if by != found.read_by:
            return "not-allowed"
        if not seen.is_whole(found.assay.lines):
            return "bad-bands"
        if seen == found.seen:
            return "already-known"
        found.seen = seen
        self._was_seen(found, by)
        if not found.awaits:
            if found.assay.faint_is_read_twice and seen.is_faint:
                found.held.add("not-read-twice")
            self._settle(found, found.judge(seen))
        return None
