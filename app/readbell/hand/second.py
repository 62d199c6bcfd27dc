"""The second identifier, read back: asked of the person, typed or scanned, never shown beforehand."""

from __future__ import annotations

from typing import TYPE_CHECKING

from readbell.core.board.patients import ASKED
from readbell.core.cartridge.events import How
from readbell.core.people.file import day_of
from readbell.core.people.particulars import Particular
from readbell.phrases.patient_words import PARTICULARS

if TYPE_CHECKING:
    from readbell.core.board.board import Board
    from readbell.hand.given import Scanned


def asked_of_patients(board: Board) -> Particular | None:
    """Return what this site reads back beside the ID, or None."""
    return ASKED[board.policy.second_identifier]


def may_be(what: Particular, given: Scanned) -> bool:
    """Say whether a text may be the answer: a day, or what somebody typed as a name.

    What a scanner reads at this moment is a label far sooner than a name.
    """
    if what is Particular.BIRTH_DATE:
        return day_of(given.text) is not None
    return given.how is How.TYPED


def ask_for(what: Particular) -> str:
    """Return what to do about it."""
    form = ", as 1980-02-03" if what is Particular.BIRTH_DATE else ""
    return f"Ask the person for their {PARTICULARS[what]} and type it{form}."


def without(what: Particular) -> str:
    """Return what saving without it means."""
    return (
        f"The {PARTICULARS[what]} was not read back. Type it; "
        "or save once more without it, held for review."
    )
