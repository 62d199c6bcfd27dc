"""What a supervisor of a plain bay does with results, and who is told; here everybody is one."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from machine.plain_cartridge import gravest
from machine.plain_contradicting import WORD, hold_both, says
from machine.plain_people import People
from machine.plain_result import misled, what_to_say

if TYPE_CHECKING:
    from machine.plain_cartridge import Cartridge, Seen
    from machine.plain_parts import Code


@dataclass
class Reviews(People):
    """Results said anew, let stand, taken back and told."""

    def _reviewed(self, by: str, label: str) -> Cartridge | str:
        if by not in self.operators:
            return "unknown-operator"
        found = self.cartridges.get(label)
        if found is None:
            return "unknown-cartridge"
        return "already-ended" if found.withdrawn else found

    def amend(self, by: str, label: str, seen: Seen) -> Code:
        """Say anew what was on a strip that was read."""
        found = self._reviewed(by, label)
        if isinstance(found, str):
            return found
        if found.void:
            return "already-ended"
        if found.seen is None or not found.ended or by in found.who_saw:
            return "not-allowed"
        if not seen.is_whole(found.assay.lines):
            return "bad-bands"
        undecided = found.amended is None and gravest(found.outcomes) == "withheld"
        if seen == (found.amended or found.seen) and not undecided:
            return "already-known"
        before = says(found)
        found.amended, found.outcomes = seen, found.judge(seen)
        found.held &= {"lot-on-hold", "lot-expired", WORD}
        hold_both(self.cartridges, found, before)
        return None

    def release(self, by: str, label: str) -> Code:
        """Let a reading that is held stand."""
        found = self._reviewed(by, label)
        if isinstance(found, str):
            return found
        if found.held and found.void:
            return "already-ended"
        if not found.held or not found.ended or by in found.who_saw:
            return "not-allowed"
        found.held.clear()
        return None

    def take_back(self, by: str, label: str, others: list[str], persons: list[str]) -> Code:
        """Take a result back, with all that was taken for it."""
        found = self._reviewed(by, label)
        if isinstance(found, str):
            return found
        if found.seen is None and not found.early:
            return "not-allowed"
        if not set(others) <= set(self.cartridges):
            return "unknown-cartridge"
        if not set(persons) <= self.persons:
            return "unknown-person"
        concerned = [found, *(self.cartridges[each] for each in others)]
        if others or persons:
            self.new_specimen |= {*persons, *(each.person for each in concerned)}
        for each in concerned:
            running = not each.ended
            if each.seen is not None or each.early:
                each.withdrawn, each.awaits, each.outcomes = True, False, {}
            each.void = each.void or running
            if running:
                self.heard.pop(each.label, None)
        return None

    def tell(self, by: str, label: str, who: str | None, to: str) -> Code:
        """Tell how a result stands, to the person or to whom they, or the law, let hear it."""
        if by not in self.operators:
            return "unknown-operator"
        found = self.cartridges.get(label)
        if found is None:
            return "unknown-cartridge"
        heard = what_to_say(found)
        if heard is None:
            return "not-allowed"
        if who is not None and not self.is_called(found.person, who):
            return "wrong-person"
        if to not in self.may_hear(found):
            return "not-allowed"
        found.told[to], found.told_at = heard, self.now
        return None

    def may_hear(self, found: Cartridge) -> set[str]:
        """Give who may be told: the person, whom a yes for this assay names, and who was misled."""
        consent = self.about(found.person).consent
        named = {"person"}
        if consent is not None and consent.covers(found.assay.id):
            named.add(consent.told_to)
        offices = {"office"} if found.assay.id in self.offices else set()
        return named | offices | set(misled(found))
