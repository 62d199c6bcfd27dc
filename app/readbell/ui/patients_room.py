"""The room of those who are tested today, as a table; below it what is known of the chosen one."""

from __future__ import annotations

from typing import TYPE_CHECKING

from readbell.core.board.patients import file_of
from readbell.core.board.repeats import gets_no_repeat
from readbell.hand.patients_room import today_here
from readbell.phrases.board_words import standing
from readbell.phrases.of_cartridges import OUTCOMES
from readbell.phrases.patient_words import say_consent, say_left, say_symptoms
from readbell.phrases.review_words import say_mark
from readbell.ui.form import Painted
from readbell.ui.ink import Piece, Token, line
from readbell.ui.table import table
from readbell.ui.wrapped import PROSE, wrapped

if TYPE_CHECKING:
    from collections.abc import Iterator

    from readbell.core.board.patients_today import PatientToday
    from readbell.hand.doing import Visiting
    from readbell.hand.scene import Scene
    from readbell.ui.table import Row

NOBODY = "Nobody came yet today. F2 on the board begins."
HIDDEN = "hidden"
ERASED = "erased"
WAITS = "waits"
HAS_LEFT = "has left"
BELOW = 7
"""Rows that the chosen one's particulars take at most."""


def patients_room(
    doing: Visiting, scene: Scene, width: int, height: int, *, masked: bool
) -> Painted:
    """Return who is here today, in the order of their turns, and what became of each."""
    here = [each for each in today_here(scene) if scene.board.name(each.key) is not None]
    if not here:
        told = wrapped(NOBODY, max(1, min(width - 4, PROSE)))
        return Painted(tuple(line("  ", Piece(each, Token.SOFT)) for each in told))
    at = (3, 18, 32, 52)
    head: Row = ("", tuple(zip(at, ("patient", "party", "state", "result"), strict=True)))
    rows: list[Row] = []
    for each in here:
        name = scene.board.name(each.key) or ERASED
        words = (HIDDEN if masked else name, _party(each, scene), *_state(each, scene, masked))
        rows.append((name, tuple(zip(at, words, strict=True))))
    chosen = here[min(doing.cursor, len(here) - 1)]
    told = [] if masked else list(_about(chosen, scene))
    below = [
        line("  ", Piece(row, Token.TEXT))
        for words in told
        for row in wrapped(words, max(1, min(width - 4, PROSE)))
    ]
    below = [line(), *below][: max(0, min(BELOW, height - 2))] if below else []
    made = table(head, rows, doing.cursor, width, max(2, height - len(below)))
    return made.then(Painted(tuple(below)))


def _party(each: PatientToday, scene: Scene) -> str:
    party = scene.board.party_of(each.key)
    if party is None:
        return ""
    place = party.persons.index(each.key) + 1
    return f"{scene.board.name(party.key) or ERASED}, {place}."


def _about_party(each: PatientToday, scene: Scene) -> str:
    party = scene.board.party_of(each.key)
    if party is None:
        return ""
    said = (scene.board.name(party.key) or ERASED, party.lane or "", party.note or "")
    return ", ".join(word for word in said if word)


def _ahead(each: PatientToday, scene: Scene) -> list[str]:
    return [one.label for one in scene.board.ahead.values() if one.person == each.key]


def _state(each: PatientToday, scene: Scene, masked: bool) -> tuple[str, str]:
    if not each.cartridges:
        return (HAS_LEFT if each.left is not None else WAITS), ""
    last = each.cartridges[-1]
    now = f"{last.label}  {standing(last, scene.now).word}"
    shown = [one for one in each.cartridges if one.outcome is not None]
    follows = _follows(each, scene)
    if not shown or shown[-1].outcome is None:
        return now, "" if masked else follows
    result = f"{OUTCOMES[shown[-1].outcome]} {say_mark(shown[-1])}".rstrip()
    return now, HIDDEN if masked else f"{result}  {follows}".rstrip()


def _follows(each: PatientToday, scene: Scene) -> str:
    """Return what a person still has to have, in the words that stand among the results."""
    owed = [one for one in each.cartridges if one.id in scene.board.owed]
    if not owed:
        return ""
    return "refer" if gets_no_repeat(scene.board, owed[-1]) else "repeat"


def _about(each: PatientToday, scene: Scene) -> Iterator[str]:
    known = file_of(scene.board, each.key)
    for word, said in (
        ("Name", known.name),
        ("Born", known.born),
        ("Contact", known.contact),
        ("Consent", say_consent(known)),
        ("Symptoms", say_symptoms(known)),
        ("Party", _about_party(each, scene)),
        ("Labelled ahead", ", ".join(_ahead(each, scene))),
        ("Cartridges", ", ".join(one.label for one in each.cartridges)),
    ):
        if said:
            yield f"{word}: {said}"
    if each.left is not None:
        yield f"Left at {scene.face.time(each.left.at)}: {say_left(each.left)}"
