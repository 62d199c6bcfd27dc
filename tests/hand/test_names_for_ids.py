"""A name that is typed while people are entered is no ID; what a scanner reads is as it is."""

from __future__ import annotations

from typing import TYPE_CHECKING

import pytest

from bay.conftest import place  # noqa: F401  # a fixture, used by its name
from builders import at
from readbell.core.board.events import ActRefused
from readbell.core.policy.events import PolicySet
from readbell.core.policy.identifying import PatientId, SecondIdentifier
from readbell.core.policy.policy import SitePolicy
from readbell.core.refusal import RefusalCode
from readbell.hand.doing import Gathering
from readbell.hand.given import Key

if TYPE_CHECKING:
    from hand.conftest import Hands

NOT_AN_ID = '"Anna Lee" is a name, not an ID. Nobody was added. '


async def rule(hands: Hands, **said: object) -> None:
    """Let the site say what its IDs are, or what it reads back beside them."""
    policy = SitePolicy(**said)  # type: ignore[arg-type]
    await hands.work.bay._recorder.record([PolicySet(at=at("0:00"), policy=policy)])


@pytest.mark.parametrize(
    ("second", "leads"),
    [
        (SecondIdentifier.NONE, "the name is noted with F9, Patients, F2."),
        (SecondIdentifier.NAME, "their name is asked for at their turn."),
        (SecondIdentifier.BIRTH_DATE, "their date of birth is asked for at their turn."),
    ],
)
async def test_a_name_that_is_typed_is_not_taken_for_an_id_and_leads_to_where_names_go(
    hands: Hands, second: SecondIdentifier, leads: str
) -> None:
    """Whoever has no number is given one, and is known by the name beside it."""
    await rule(hands, second_identifier=second)
    await hands.press(Key.START)
    await hands.type("Anna Lee")

    number = "Scan or type their ID, or give them one, such as V-03; "
    assert hands.words == f"{NOT_AN_ID}{number}{leads}"
    assert hands.in_hand() == Gathering()
    await hands.type("V-03")
    assert hands.in_hand() == Gathering(persons=("V-03",), typed=frozenset(("V-03",)))


async def test_an_id_with_a_blank_that_was_scanned_is_taken_as_it_is(hands: Hands) -> None:
    """A label says what it says, and whoever printed it has their reasons."""
    await hands.press(Key.START)
    await hands.scan("ANNA LEE")

    assert hands.in_hand() == Gathering(persons=("ANNA LEE",))


@pytest.mark.parametrize("typed", ["LEE 0412", "943 476 5919", "QX", "Lee-Ann", "- -"])
async def test_what_may_be_an_id_may_be_typed_as_one(hands: Hands, typed: str) -> None:
    """Only words without a digit are surely a name."""
    await hands.press(Key.START)
    await hands.type(typed)

    assert hands.in_hand() == Gathering(persons=(typed,), typed=frozenset((typed,)))


async def test_whoever_is_known_by_such_an_id_already_may_be_typed_again(hands: Hands) -> None:
    """What stands in the record stays."""
    await hands.press(Key.START)
    await hands.scan("ANNA LEE")
    await hands.press(Key.START, Key.BACK, Key.START)
    await hands.type("Anna Lee")

    assert hands.in_hand() == Gathering(persons=("ANNA LEE",), typed=frozenset(("ANNA LEE",)))


async def test_where_they_wait_may_be_two_words(hands: Hands) -> None:
    """A lane is asked for, and no ID."""
    await hands.press(Key.START, Key.DONE)
    await hands.type("north gate")

    assert hands.in_hand() == Gathering(lane="north gate")


async def test_a_site_with_a_scheme_of_its_own_says_itself_what_an_id_is(hands: Hands) -> None:
    """By a pattern words may be one; by another they are refused, as a near miss."""
    await rule(hands, patient_id=PatientId.PATTERN, patient_id_pattern="[A-Za-z ]+")
    await hands.press(Key.START)
    await hands.type("Anna Lee")
    assert hands.in_hand() == Gathering(persons=("Anna Lee",), typed=frozenset(("Anna Lee",)))

    await rule(hands, patient_id=PatientId.NHS_NUMBER)
    await hands.type("Bea Ash")
    assert hands.words.startswith("Bea Ash is not an NHS number")
    codes = [each.code for each in await hands.stored() if isinstance(each, ActRefused)]
    assert codes == [RefusalCode.ID_MALFORMED]
