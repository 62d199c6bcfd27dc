"""What a site asks about a person comes before their turn; a site that asks nothing adds no key."""

from __future__ import annotations

from typing import TYPE_CHECKING

import pytest_asyncio

from hand.conftest import Hands, find
from readbell.bay.desk import Desk
from readbell.bay.identifiers import RandomIdentifiers
from readbell.core.cartridge.events import How
from readbell.core.people.events import ConsentNoted, ConsentRefused, ParticularNoted
from readbell.core.policy.identifying import PatientId, SecondIdentifier
from readbell.core.policy.policy import SitePolicy
from readbell.core.refusal import RefusalCode
from readbell.core.review.reasons import HoldReason
from readbell.hand.aloud import said_aloud
from readbell.hand.doing import Filling, Gathering, Judging, Labelling, Paper, Watching
from readbell.hand.given import Key, Scanned

if TYPE_CHECKING:
    from collections.abc import AsyncIterator, Awaitable, Callable

    from bay.conftest import Place, Work

    Make = Callable[[SitePolicy], Awaitable[Hands]]

NAMED = SitePolicy(second_identifier=SecondIdentifier.NAME)


@pytest_asyncio.fixture
async def under(hands: Hands, place: Place) -> AsyncIterator[Make]:
    """Makes hands at a bay where the site has decided so, a box open and nobody running."""
    made: list[Work] = []

    async def make(policy: SitePolicy) -> Hands:
        await hands.work.die()
        work = await place.take_up(hands.work.clock, policy=policy)
        made.append(work)
        desk = Desk(identifiers=RandomIdentifiers(), find_assay=find)
        return Hands(work=work, desk=desk)

    yield make
    for work in made:
        await work.die()


async def new(hands: Hands, person: str = "P-7") -> None:
    """A new person, entered alone."""
    await hands.press(Key.START)
    await hands.scan(person)
    await hands.press(Key.START)


async def work_on(hands: Hands, label: str) -> None:
    """The steps of a cartridge that was labelled, to the drops."""
    await hands.scan(label)
    await hands.press(Key.DONE)
    hands.wait("1:00")
    for _ in range(2):
        await hands.scan(label)
        await hands.press(Key.DONE)
    assert hands.cartridge(label).applied is not None, hands.words


async def test_a_site_that_asks_nothing_adds_no_key(under: Make) -> None:
    """From the last scan of the list straight to the label."""
    hands = await under(SitePolicy())
    await new(hands)
    assert isinstance(hands.in_hand(), Labelling)


async def test_a_name_is_asked_once_and_read_back_at_the_reading(under: Make) -> None:
    """It is typed each time; nothing of it stands there before."""
    hands = await under(NAMED)
    await new(hands)
    doing = hands.in_hand()
    assert isinstance(doing, Filling)
    assert doing.paper is Paper.PERSON
    assert "Who this person is" in "\n".join(said_aloud(hands.hand, hands.scene))
    await hands.type("Ada [Quillby]")
    await hands.press(Key.START)
    assert isinstance(hands.in_hand(), Labelling)
    assert any(isinstance(each, ParticularNoted) for each in await hands.stored())
    await hands.scan("C1")
    await work_on(hands, "C1")
    hands.wait("16:00")
    await hands.scan("C1")
    await hands.press(Key.DOWN, Key.UP, Key.DOWN)
    await hands.scan("P-7")
    judging = hands.in_hand()
    assert isinstance(judging, Judging)
    assert judging.second is None
    assert "Ask the person for their name" in hands.words
    await hands.type("ada [QUILLBY]")
    await hands.press(Key.READ)
    assert hands.cartridge("C1").reading is not None
    assert hands.cartridge("C1").held == ()


async def test_another_persons_name_is_refused_and_kept_as_a_near_miss(under: Make) -> None:
    """At the label and at the reading; what was answered is asked for anew."""
    hands = await under(NAMED)
    await new(hands)
    await hands.type("Ada Quillby")
    await hands.press(Key.START)
    await hands.press(Key.BACK)
    await hands.scan("P-7")
    assert isinstance(hands.in_hand(), Labelling)
    await hands.type("Eda Quillby")
    await hands.scan("C1")
    assert hands.fine is False
    assert RefusalCode.WRONG_PERSON in [
        getattr(each, "code", None) for each in await hands.stored()
    ]
    await hands.scan("C1")
    assert "was not read back" in hands.words
    await hands.type("Ada Quillby")
    await hands.scan("C1")
    assert isinstance(hands.in_hand(), Watching)
    await work_on(hands, "C1")
    hands.wait("16:00")
    await hands.scan("C1", "P-7")
    await hands.type("Eda Quillby")
    assert hands.fine is False
    doing = hands.in_hand()
    assert isinstance(doing, Judging)
    assert doing.person is None


async def test_a_reading_without_it_takes_a_second_press_and_is_held(under: Make) -> None:
    """A valid test is never lost for a name."""
    hands = await under(NAMED)
    await new(hands)
    await hands.type("Ada Quillby")
    await hands.press(Key.START)
    await hands.scan("C1")
    await work_on(hands, "C1")
    hands.wait("16:00")
    await hands.scan("C1")
    await hands.press(Key.DOWN, Key.UP, Key.DOWN)
    await hands.scan("P-7")
    await hands.press(Key.READ)
    assert "held for review" in hands.words
    assert hands.cartridge("C1").reading is None
    await hands.press(Key.READ)
    assert hands.cartridge("C1").held == (HoldReason.SECOND_NOT_READ_BACK,)


async def test_a_day_that_is_none_is_said_at_once(under: Make) -> None:
    """Before anything is saved; and Esc begins nobody."""
    hands = await under(SitePolicy(second_identifier=SecondIdentifier.BIRTH_DATE))
    await new(hands)
    await hands.type("31.02.1980")
    assert "is no day" in hands.words
    await hands.type("2999-01-01")
    await hands.press(Key.START)
    assert "still to come" in hands.words
    await hands.press(Key.BACK)
    assert isinstance(hands.in_hand(), Watching)
    await hands.scan("P-7")
    await hands.type("1980-02-03")
    await hands.press(Key.START)
    await hands.scan("C1")
    assert hands.cartridge("C1").labelled.identified.second is How.TYPED


async def test_consent_is_asked_before_the_pouch(under: Make) -> None:
    """Nothing is chosen beforehand; a no ends the visit."""
    hands = await under(SitePolicy(ask_consent=True))
    await new(hands)
    await hands.press(Key.START)
    assert "Still open" in hands.words
    await hands.choose("giver", "self")
    await hands.choose("given", "spoken")
    await hands.choose("told", "person")
    await hands.press(Key.START)
    assert isinstance(hands.in_hand(), Labelling)
    await hands.press(Key.BACK)
    await new(hands, "P-8")
    await hands.choose("giver", "no: declined")
    await hands.press(Key.START)
    assert isinstance(hands.in_hand(), Watching)
    assert "NO CONSENT" in hands.words
    kinds = {type(each) for each in await hands.stored()}
    assert {ConsentNoted, ConsentRefused} <= kinds


async def test_a_wrong_number_is_not_put_on_the_list(under: Make) -> None:
    """The bay refuses it, and keeps the near miss."""
    hands = await under(SitePolicy(patient_id=PatientId.NHS_NUMBER))
    await hands.press(Key.START)
    await hands.scan("9434765918")
    assert "943 476 5918" in hands.words
    assert hands.in_hand() == Gathering()
    await hands.scan("9434765919")
    await hands.give(Scanned("94347659199434765919"))
    assert hands.fine is False
    codes = [getattr(each, "code", None) for each in await hands.stored()]
    assert RefusalCode.ID_CHECK_FAILED in codes


async def test_an_id_that_holds_another_says_which(under: Make) -> None:
    """Two labels in one burst: nothing is merged."""
    hands = await under(SitePolicy())
    await hands.press(Key.START)
    await hands.scan("P-0001", "P-0001P-0002")
    assert "holds P-0001" in hands.words
    doing = hands.in_hand()
    assert isinstance(doing, Gathering)
    assert doing.persons == ("P-0001",)
