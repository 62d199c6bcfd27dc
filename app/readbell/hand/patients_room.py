"""The room of those who are tested today, and the form on which something about one is noted."""

from __future__ import annotations

from typing import TYPE_CHECKING

from readbell.bay.site_time import day_began
from readbell.core.board.patients_today import patients_today
from readbell.core.cartridge.events import How
from readbell.core.people.file import day_of
from readbell.core.people.particulars import Particular
from readbell.hand.asking import NOBODY
from readbell.hand.doing import Filling, Paper
from readbell.hand.given import Key
from readbell.hand.hand import Hand, Turn, only
from readbell.hand.question import Option
from readbell.phrases.board_words import standing
from readbell.phrases.of_cartridges import OUTCOMES
from readbell.phrases.patient_words import PARTICULARS
from readbell.scenarios.patient_lines import NotePersonLine, SymptomsLine

if TYPE_CHECKING:
    from collections.abc import Iterator, Mapping

    from readbell.core.board.patients_today import PatientToday
    from readbell.hand.scene import Scene
    from readbell.scenarios.patient_lines import PatientLine

HINT = (
    "F2 notes something about the chosen person, F3 their consent. Their turn begins on the board."
)
ROOM = "room"
"""Among the answers of a form: it was opened here, and leads back here."""
SICK, WELL = "symptoms", "no-symptoms"
NEEDS_WORDS = frozenset({*Particular, SICK})


def today_here(scene: Scene) -> tuple[PatientToday, ...]:
    """Return everybody of today."""
    return patients_today(
        scene.board, day_began(scene.now, scene.now + scene.face.apart, scene.face.zone)
    )


def things(scene: Scene) -> tuple[Option, ...]:
    """Return who may be chosen here; whoever was erased has no name to be chosen by."""
    names = (scene.board.name(each.key) for each in today_here(scene))
    return tuple(Option(each, each) for each in names if each is not None)


def aloud(scene: Scene) -> Iterator[str]:
    """Yield a line for each person of today: what runs for them, and what came of it."""
    for each in today_here(scene):
        name = scene.board.name(each.key) or "erased"
        if each.waits:
            yield f"  {name} waits."
        for one in each.cartridges:
            came = "" if one.outcome is None else f", {OUTCOMES[one.outcome]}"
            yield f"  {name}: {one.label} {standing(one, scene.now).word}{came}."


def pressed(hand: Hand, key: Key, who: str | None) -> Turn:
    """Return what becomes of `key`; `who` is chosen."""
    if key not in (Key.START, Key.DONE) or who is None:
        return only(
            hand.saying(HINT if who is not None else "Nobody is here yet. F2 on the board.")
        )
    if hand.operator is None:
        return only(hand.saying(NOBODY, fine=False))
    about = (("person", who), ("how", str(How.PICKED)), (ROOM, ROOM))
    paper = Paper.PARTICULAR if key is Key.START else Paper.CONSENT
    return only(hand.now_doing(Filling(paper=paper, answers=about)))


def asked(answers: Mapping[str, str]) -> tuple[tuple[str, str, tuple[Option, ...]], ...]:
    """Return the lines of the form about one thing."""
    what = (
        *(Option(each, PARTICULARS[each]) for each in Particular),
        Option(SICK, "symptoms, and since when"),
        Option(WELL, "no symptoms"),
    )
    first: tuple[str, str, tuple[Option, ...]] = ("what", "What is noted", what)
    if answers.get("what") not in NEEDS_WORDS:
        return (first,)
    is_day = answers.get("what") in (Particular.BIRTH_DATE, SICK)
    asks = "The day, as 1980-02-03" if is_day else "As the person says it"
    return (first, ("said", asks, ()))


def fault_of(answers: Mapping[str, str], text: str) -> str | None:
    """Say in one sentence what is wrong with `text` as what is noted, or None."""
    if answers.get("what") in (Particular.BIRTH_DATE, SICK) and day_of(text) is None:
        return f'"{text}" is no day. Type it as year, month, day: 1980-02-03.'
    return None


def line_of(said: Mapping[str, str], by: str) -> PatientLine:
    """Return what a whole form asks of the bay."""
    what, person = said["what"], said["person"]
    if what in (SICK, WELL):
        onset = said["said"] if what == SICK else None
        return SymptomsLine(
            do="note-symptoms", by=by, person=person, present=what == SICK, onset=onset
        )
    return NotePersonLine(
        do="note-person",
        by=by,
        person=person,
        name=said["said"] if what == Particular.NAME else None,
        born=said["said"] if what == Particular.BIRTH_DATE else None,
        contact=said["said"] if what == Particular.CONTACT else None,
    )
