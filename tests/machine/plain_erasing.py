"""Who may be forgotten in a plain bay, and what is left of them."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from machine.plain_cartridge import gravest
from machine.plain_result import urgency
from machine.plain_review import Reviews

if TYPE_CHECKING:
    from machine.plain_cartridge import Cartridge
    from machine.plain_parts import Code


@dataclass
class Erasing(Reviews):
    """People are erased for ever: what came of their strips stays, and names nobody."""

    def erase(self, by: str, who: str, why: str) -> Code:
        """Forget somebody, if nothing runs and nothing is left to be done with them."""
        if by not in self.operators:
            return "unknown-operator"
        if not why.strip():
            return "not-allowed"
        if any(not each.ended for each in self.cartridges.values()):
            return "not-allowed"
        if who not in self.persons:
            return "unknown-person"
        theirs = [each for each in self.cartridges.values() if each.person == who]
        if who in self.waits or any(map(_is_open, theirs)):
            return "not-allowed"
        name = self.about(who).name
        if who in why or (name is not None and name in why):
            return "not-allowed"
        self._forget(who, theirs)
        return None

    def _forget(self, who: str, theirs: list[Cartridge]) -> None:
        self.persons.discard(who)
        self.known.pop(who, None)
        self.new_specimen.discard(who)
        self.gone.pop(who, None)
        number = 1 + max(each.forgotten for each in self.cartridges.values()) if theirs else 0
        for each in theirs:
            each.person, each.forgotten = None, number
        for party in self.parties:
            if who in party.people:
                party.name = None
                party.people = [None if each == who else each for each in party.people]


def _is_open(found: Cartridge) -> bool:
    """Say whether something is still to be done: review, or somebody has to hear of a positive."""
    if found.held or urgency(found) in ("put-right", "positive"):
        return True
    return not found.told and gravest(found.outcomes) == "positive"
