"""Lines about those who are tested reach the journal as what they say."""

from __future__ import annotations

import json
from typing import TYPE_CHECKING

from bay.conftest import place  # noqa: F401  # a fixture, used by its name
from hand.conftest import hands  # noqa: F401  # so too
from readbell.core.people.events import (
    ConsentNoted,
    ConsentRefused,
    ParticularNoted,
    PartyNoted,
    PersonLeft,
    PersonRegistered,
    SymptomsNoted,
)
from readbell.core.refusal import RefusalCode
from readbell.scenarios.line import read_line

if TYPE_CHECKING:
    from hand.conftest import Hands
    from readbell.bay.news import Answer


async def say(hands: Hands, do: str, **more: object) -> Answer:  # noqa: F811
    """Serve a line and return the answer."""
    line = read_line(json.dumps({"do": do, "by": "op-1", **more}))
    return await hands.desk.serve(hands.work.bay, line)  # type: ignore[arg-type]


async def test_each_line_becomes_its_event(hands: Hands) -> None:  # noqa: F811
    """With words and days on the side that can be erased."""
    answer = await say(hands, "register-person", id="P-9", name="Ada", born="1980-02-03")
    assert [type(each) for each in answer.events] == [
        PersonRegistered,
        ParticularNoted,
        ParticularNoted,
    ]
    answer = await say(hands, "note-person", person="P-9", contact="0123")
    assert [type(each) for each in answer.events] == [ParticularNoted]
    consent = {"giver": "guardian", "how": "written", "told_to": "guardian", "words": "mother"}
    answer = await say(hands, "note-consent", person="P-9", **consent)
    (noted,) = answer.events
    assert isinstance(noted, ConsentNoted)
    assert noted.words is not None
    assert noted.words.value == "mother"
    answer = await say(hands, "note-symptoms", person="P-9", present=True, onset="2026-03-28")
    (symptoms,) = answer.events
    assert isinstance(symptoms, SymptomsNoted)
    answer = await say(hands, "refuse-consent", person="P-9", reason="declined")
    assert [type(each) for each in answer.events] == [ConsentRefused]


async def test_whoever_left_is_named_or_their_party_is(hands: Hands) -> None:  # noqa: F811
    """With words that can be erased."""
    await say(hands, "register-party", id="car 12", persons=["P-7", "P-8", "P-9"])
    answer = await say(hands, "note-left", person="P-8", reason="other", words="the dog")
    (event,) = answer.events
    assert isinstance(event, PersonLeft)
    assert event.words is not None
    assert event.words.value == "the dog"
    answer = await say(hands, "note-left", party="car 12", reason="without-a-word")
    assert [type(each) for each in answer.events] == [PersonLeft, PersonLeft]
    assert not hands.work.bay.board.waiting


async def test_parties_have_a_lane_and_labels_wait_for_their_turn(hands: Hands) -> None:  # noqa: F811
    """The site has not decided to label ahead, so nothing is."""
    persons = ["P-001", "P-002"]
    await say(hands, "register-party", id="car 12", persons=persons, lane="lane 1", note="deaf")
    answer = await say(hands, "note-party", party="car 12", lane="lane 2")
    (noted,) = answer.events
    assert isinstance(noted, PartyNoted)
    (party,) = hands.work.bay.board.parties.values()
    assert (party.lane, party.note) == ("lane 2", "deaf")
    answer = await say(hands, "label-ahead", person="P-001", cartridge="C5")
    assert answer.refusal is not None
    assert answer.refusal.code is RefusalCode.NOT_ALLOWED
