"""Who acts in a plain bay, who is tested there, who said yes, and whose turn is next."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date
from typing import TYPE_CHECKING

from machine.plain_parts import DAY, About, Consent, Party
from machine.plain_time import TimeLine

if TYPE_CHECKING:
    from machine.plain_parts import Code


@dataclass
class People(TimeLine):
    """Those who act, those who are tested, what is known of them, and those who come together."""

    def register_operator(self, by: str | None, new: str) -> Code:
        """Let somebody act here."""
        if not self._may_register(by):
            return "unknown-operator"
        if new in self.operators:
            return "already-known"
        self.operators.add(new)
        return None

    def register_person(self, by: str | None, new: str) -> Code:
        """Enter somebody to be tested."""
        if not self._may_register(by):
            return "unknown-operator"
        if new in self.persons:
            return "already-known"
        self.persons.add(new)
        return None

    def register_party(self, by: str, name: str, people: list[str]) -> Code:
        """Enter people who come together."""
        if not self._may_register(by):
            return "unknown-operator"
        if not people or len(set(people)) < len(people):
            return "not-allowed"
        if name in [each.name for each in self.parties]:
            return "already-known"
        self.persons.update(people)
        self.parties.append(Party(name, [*people]))
        self.waits = [each for each in self.waits if each not in people] + people
        for each in people:
            self.gone.pop(each, None)
        return None

    def note(self, by: str, who: str, name: str | None, born: str | None) -> Code:
        """Enter what somebody is known by beside the ID."""
        if (code := self._who_about(by, who)) is not None:
            return code
        day = _day(born)
        if born is not None and (day is None or day > self.today):
            return "not-allowed"
        about = self.about(who)
        about.name, about.born = name or about.name, day or about.born
        return None

    def consent(self, by: str, who: str, consent: Consent) -> Code:
        """Enter that somebody says yes, for themselves or for a child."""
        if (code := self._who_about(by, who)) is not None:
            return code
        if not set(consent.assays) <= set(self.assays):
            return "not-adopted"
        if consent.by_self and self._is_child(who):
            return "not-allowed"
        self.about(who).consent = consent
        return None

    def decline(self, by: str, who: str) -> Code:
        """Enter that somebody says no: nobody waits for them any more."""
        if (code := self._who_about(by, who)) is not None:
            return code
        self.about(who).consent = Consent(self.now, given=False)
        self.waits = [each for each in self.waits if each != who]
        return None

    def leave(self, by: str, who: str) -> Code:
        """Enter that somebody left before anything was begun for them."""
        if (code := self._who_about(by, who)) is not None:
            return code
        was_begun = any(each.person == who for each in self.cartridges.values())
        if who not in self.waits and (who in self.gone or was_begun):
            return "not-allowed"
        self.waits = [each for each in self.waits if each != who]
        self.gone = {each: at for each, at in self.gone.items() if self.now - at <= 2 * DAY}
        self.gone[who] = self.now
        return None

    def about(self, who: str | None) -> About:
        """Give what is known of somebody beside the ID."""
        return About() if who is None else self.known.setdefault(who, About())

    def is_called(self, who: str | None, said: str) -> bool:
        """Say whether what was read back is this person's ID, name or day of birth."""
        if who is None:
            return False
        about = self.about(who)
        is_name = about.name is not None and said.casefold() == about.name.casefold()
        return said == who or is_name or (about.born is not None and _day(said) == about.born)

    def refuse_to_begin(self, who: str, assay: str) -> Code:
        """Say why nobody begins with somebody: they said no today, or are a child nobody spoke for."""
        consent = self.about(who).consent
        of_today = consent is not None and consent.at >= self.now - self.clocks.wall % DAY
        if consent is not None and of_today and not consent.given:
            return "consent-refused"
        if not self._is_child(who):
            return None
        if consent is None or not of_today or not consent.covers(assay):
            return "consent-missing"
        return "not-allowed" if consent.by_self else None

    def _is_child(self, who: str) -> bool:
        born, today = self.about(who).born, self.today
        if born is None:
            return False
        not_yet = (today.month, today.day) < (born.month, born.day)
        return today.year - born.year - not_yet < self.grown_up_at

    def _who_about(self, by: str, who: str) -> Code:
        if by not in self.operators:
            return "unknown-operator"
        return None if who in self.persons else "unknown-person"


def _day(said: str | None) -> date | None:
    try:
        return None if said is None else date.fromisoformat(said)
    except ValueError:
        return None
