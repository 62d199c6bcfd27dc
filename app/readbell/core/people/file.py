"""What a bay knows of one person beside the ID, and how it is compared with what is read back."""

from __future__ import annotations

import unicodedata
from datetime import date
from typing import TYPE_CHECKING

from readbell.core.made_later import dataclass
from readbell.core.people.particulars import Particular

if TYPE_CHECKING:
    from readbell.core.people.events import ConsentNoted, ConsentRefused, SymptomsNoted


@dataclass(frozen=True, slots=True, kw_only=True)
class PersonFile:
    """The last word on each thing; None: it was never said, or is erased."""

    name: str | None = None
    born: str | None = None
    contact: str | None = None
    consent: ConsentNoted | ConsentRefused | None = None
    symptoms: SymptomsNoted | None = None

    def __repr__(self) -> str:
        """Name nobody: this may end in a crash report."""
        return "PersonFile(...)"


NOTHING_KNOWN = PersonFile()


def day_of(text: str) -> date | None:
    """Return the day that `text` writes as ISO 8601 has it, 1980-02-03 or 19800203, or None."""
    try:
        return date.fromisoformat(text.strip())
    except ValueError:
        return None


def agrees(what: Particular, known: str, said: str) -> bool:
    """Say whether `said`, read back, is what is `known`.

    Names in whatever script are the same whatever the case, the blanks or the width of their
    letters (Unicode, compatibility form and case folding); days, however ISO 8601 writes them.
    """
    if what is Particular.BIRTH_DATE:
        day = day_of(said)
        return day is not None and day == day_of(known)
    return _folded(known) == _folded(said)


def _folded(name: str) -> str:
    # Folding may undo the form, and the form the folding: the second round settles it.
    once = unicodedata.normalize("NFKC", name).casefold()
    return "".join(unicodedata.normalize("NFKC", once).casefold().split())


def years_between(born: date, today: date) -> int:
    """Return the age in whole years; who was born on 29 February has it on 1 March else."""
    before_birthday = (today.month, today.day) < (born.month, born.day)
    return today.year - born.year - before_birthday
