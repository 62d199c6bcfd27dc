"""The room of those who are tested today, and the form on which something about one is noted."""

from __future__ import annotations

from typing import TYPE_CHECKING

from readbell.core.board.patients_today import patients_today
from readbell.core.cartridge.events import How
from readbell.core.people.file import day_of
from readbell.core.people.particulars import OfParty, Particular
from readbell.hand import left_form
from readbell.hand.asking import NOBODY
from readbell.hand.doing import Filling, Paper
from readbell.hand.finding import Thing, find
from readbell.hand.given import Key
from readbell.hand.hand import Hand, Turn, only
from readbell.hand.labelling import next_label
from readbell.hand.left_form import ROOM
from readbell.hand.question import Option
from readbell.phrases.board_words import standing
from readbell.phrases.of_cartridges import OUTCOMES
from readbell.phrases.patient_words import LEFT, PARTICULARS
from readbell.scenarios.patient_lines import (
    LabelAheadLine,
    NotePartyLine,
    NotePersonLine,
    SymptomsLine,
)

if TYPE_CHECKING:
    from collections.abc import Iterator, Mapping

    from readbell.core.board.patients_today import PatientToday
    from readbell.hand.scene import Scene
    from readbell.scenarios.patient_lines import PatientLine

HINT = (
    "F2 notes something about the chosen person, F3 their consent, F12 that they have gone, "
    "F6 that they are back. Their turn begins on the board."
)
AHEAD_HINT = "F4 labels a device ahead for them, its pouch shut."
NOT_AHEAD = (
    "Here a device is labelled at its person's turn. "
    "A site that wants it otherwise sets label_ahead under [policy] in settings.toml."
)
SICK, WELL = "symptoms", "no-symptoms"
OF_PARTY: dict[str, str] = {
    OfParty.LANE: "where their party waits, such as lane 2",
    OfParty.NOTE: "what is to be known about their party",
}
NEEDS_WORDS = frozenset({*Particular, *OF_PARTY, SICK})


PAPERS: dict[Key, Paper] = {
    Key.START: Paper.PARTICULAR,
    Key.DONE: Paper.CONSENT,
    Key.LOOK: Paper.AHEAD,
}
"""Which form each key of the room opens."""


def today_here(scene: Scene) -> tuple[PatientToday, ...]:
    """Return everybody of today."""
    return patients_today(scene.board, scene.day_began)


def things(scene: Scene) -> tuple[Option, ...]:
    """Return who may be chosen here; whoever was erased has no name to be chosen by."""
    names = (scene.board.name(each.key) for each in today_here(scene))
    return tuple(Option(each, each) for each in names if each is not None)


def aloud(scene: Scene) -> Iterator[str]:
    """Yield a line for each person of today: what runs for them, and what came of it."""
    yield "  .left is for whoever waits and has gone, .back-in for whoever is back."
    for each in today_here(scene):
        name = scene.board.name(each.key) or "erased"
        if each.waits:
            yield f"  {name} waits."
        if each.left is not None:
            yield f"  {name} has left: {LEFT[each.left.reason]}."
        for one in each.cartridges:
            came = "" if one.outcome is None else f", {OUTCOMES[one.outcome]}"
            yield f"  {name}: {one.label} {standing(one, scene.now).word}{came}."


def pressed(hand: Hand, key: Key, who: str | None, scene: Scene) -> Turn:
    """Return what becomes of `key`; `who` is chosen."""
    if who is None:
        return only(hand.saying("Nobody is here yet. F2 on the board."))
    ahead = scene.board.policy.label_ahead
    if key is Key.VOID:
        return left_form.left_in_room(hand, who, scene)
    if key is Key.SECOND:
        return left_form.back_in(hand, who, scene)
    if key not in PAPERS:
        return only(hand.saying(f"{HINT} {AHEAD_HINT}" if ahead else HINT))
    if key is Key.LOOK and not ahead:
        return only(hand.saying(NOT_AHEAD, fine=False))
    if hand.operator is None:
        return only(hand.saying(NOBODY, fine=False))
    about = (("person", who), ("how", str(How.PICKED)), (ROOM, ROOM))
    return only(hand.now_doing(Filling(paper=PAPERS[key], answers=about)))


def asked_ahead(scene: Scene) -> tuple[tuple[str, str, tuple[Option, ...]], ...]:
    """Return the one line of the form on which a device is labelled before its person's turn."""
    free = next_label(scene.board, scene.label_begins)
    asks = f"Label, the pouch left shut: scan it, or write {free} and type it"
    return (("ahead", asks, ()),)


def asked(
    answers: Mapping[str, str], scene: Scene
) -> tuple[tuple[str, str, tuple[Option, ...]], ...]:
    """Return the lines of the form about one thing."""
    what = (
        *(Option(each, PARTICULARS[each]) for each in Particular),
        Option(SICK, "symptoms, and since when"),
        Option(WELL, "no symptoms"),
        *(
            (Option(each, words) for each, words in OF_PARTY.items())
            if _party_of(answers, scene)
            else ()
        ),
    )
    first: tuple[str, str, tuple[Option, ...]] = ("what", "What is noted", what)
    if answers.get("what") not in NEEDS_WORDS:
        return (first,)
    is_day = answers.get("what") in (Particular.BIRTH_DATE, SICK)
    asks = "The day, as 1980-02-03" if is_day else "As the person says it"
    if answers.get("what") in OF_PARTY:
        asks = "In the site's own words"
    return (first, ("said", asks, ()))


def fault_of_label(text: str, scene: Scene) -> str | None:
    """Say in one sentence why `text` is no label for a device, or None."""
    found = find(scene.board, text)
    if found.thing in (Thing.UNKNOWN, Thing.CARTRIDGE):
        return None
    what = "two labels at once" if found.thing is Thing.TWO_IN_ONE else f"a known {found.thing}"
    return f"{text} is {what}, and no label. Scan the label on the device."


def fault_of(answers: Mapping[str, str], text: str) -> str | None:
    """Say in one sentence what is wrong with `text` as what is noted, or None."""
    if answers.get("what") in (Particular.BIRTH_DATE, SICK) and day_of(text) is None:
        return f'"{text}" is no day. Type it as year, month, day: 1980-02-03.'
    return None


def line_ahead(said: Mapping[str, str], by: str) -> LabelAheadLine:
    """Return what the form of a device labelled ahead asks of the bay."""
    return LabelAheadLine(do="label-ahead", by=by, person=said["person"], cartridge=said["ahead"])


def line_of(said: Mapping[str, str], by: str, scene: Scene) -> PatientLine:
    """Return what a whole form asks of the bay."""
    what, person = said["what"], said["person"]
    if what in OF_PARTY:
        return NotePartyLine(
            do="note-party",
            by=by,
            party=_party_of(said, scene),
            lane=said["said"] if what == OfParty.LANE else None,
            note=said["said"] if what == OfParty.NOTE else None,
        )
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


def _party_of(answers: Mapping[str, str], scene: Scene) -> str:
    """Return what the party of the chosen person is called; nothing, if they came in none."""
    party = scene.board.party_of(scene.board.persons.get(answers.get("person", ""), ""))
    return "" if party is None else scene.board.name(party.key) or ""
