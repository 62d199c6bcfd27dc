"""Signing in at a real bay: PINs are looked at beside the journal, and never stand in it."""

from __future__ import annotations

from typing import TYPE_CHECKING

import pytest

from builders import NASAL, span
from readbell.assays.content_hash import content_hash
from readbell.assays.library import Library
from readbell.bay.desk import Desk
from readbell.bay.identifiers import RandomIdentifiers
from readbell.bay.staff_desk import begin_of_day
from readbell.core.assay.reading_rules import SecondReader
from readbell.core.board.events import ActRefused
from readbell.core.cartridge.events import ResultAmended
from readbell.core.cartridge.stage import Stage
from readbell.core.instant import later
from readbell.core.keeping.events import TraceOf, TraceOpened
from readbell.core.policy.policy import SitePolicy
from readbell.core.policy.second_reading import SecondReaderRule
from readbell.core.policy.staffing import OutsideCompetence, SignInBy
from readbell.core.reading.interpretation import Outcome
from readbell.core.refusal import RefusalCode
from readbell.core.review.events import ReadingHeld, ReadingReleased, ResultWithdrawn
from readbell.core.review.reasons import HoldReason
from readbell.core.staff.events import CompetenceStated, Opened, RecordOpened, SignedIn
from readbell.journal.pin_file import PinFile, PinFileError, pins_beside
from readbell.scenarios.line import read_line
from readbell.toml_tables import WrongFileError

if TYPE_CHECKING:
    from bay.conftest import Place, Work
    from readbell.bay.news import Answer
    from readbell.core.assay.assay import Assay

PIN = SitePolicy(sign_in=SignInBy.PIN, pin_attempts=3)


def find(reference: str) -> tuple[Assay, str]:
    """The bundled assay of that name, with its fingerprint."""
    assay = Library().find(reference)
    return assay, content_hash(assay)


class Counter:
    """A bay at work, and the desk it is spoken to at."""

    def __init__(self, work: Work, place: Place) -> None:
        self.work = work
        self.file = PinFile(pins_beside(place.path))
        self.desk = Desk(identifiers=RandomIdentifiers(), find_assay=find, pins=self.file)

    async def say(self, **said: object) -> Answer:
        """Say one line to the bay."""
        import json

        line = read_line(json.dumps(said))
        return await self.desk.serve(self.work.bay, line)  # type: ignore[arg-type]

    async def refused(self, **said: object) -> RefusalCode:
        """Say one line, and insist that it is refused."""
        answer = await self.say(**said)
        assert answer.refusal is not None, answer
        return answer.refusal.code


async def at_work(place: Place, policy: SitePolicy = PIN) -> Counter:
    """A bay with two operators, each with a PIN, under `policy`."""
    first = await place.take_up()
    await first.prepare()
    counter = Counter(first, place)
    for who, pin in (("op-1", "4071"), ("op-2", "9037")):
        await counter.say(do="set-pin", by="op-1", operator=who, pin=pin)
    await first.close()
    return Counter(await place.take_up(first.clock, policy=policy), place)


async def test_the_right_pin_signs_in_and_a_wrong_one_is_a_near_miss(place: Place) -> None:
    """Who tried is on record; what they typed is nowhere."""
    counter = await at_work(place)
    assert await counter.refused(do="sign-in", by="op-1", pin="9037") is RefusalCode.WRONG_PIN
    # While the wait runs the right one is not looked at either.
    too_soon = await counter.refused(do="sign-in", by="op-1", pin="4071")
    assert too_soon is RefusalCode.PIN_TOO_SOON
    counter.work.clock.advance("0:02")
    (event,) = (await counter.say(do="sign-in", by="op-1", pin="4071")).events
    assert isinstance(event, SignedIn)

    missed = [each.event for each in await counter.work.stored()]
    (near_miss, _) = [each for each in missed if isinstance(each, ActRefused)]
    assert (near_miss.act, near_miss.code) == ("sign-in", RefusalCode.WRONG_PIN)
    assert near_miss.by == counter.work.bay.board.operators["op-1"]
    journal = place.path.read_bytes() + place.path.with_name("bay.journal-wal").read_bytes()
    assert b"9037" not in journal
    assert b"argon2" not in journal


async def test_waits_and_lock_outs_outlive_the_program(place: Place) -> None:
    """Pulling the plug wins a guesser nothing."""
    counter = await at_work(place)
    for pause in ("0:00", "0:02", "0:04"):
        counter.work.clock.advance(pause)
        await counter.refused(do="sign-in", by="op-2", pin="1470")
    await counter.work.die()
    again = Counter(await place.take_up(counter.work.clock, policy=PIN), place)
    again.work.clock.advance("1:00:00")
    assert await again.refused(do="sign-in", by="op-2", pin="9037") is RefusalCode.LOCKED_OUT
    assert (await again.say(do="sign-in", by="op-1", pin="4071")).accepted
    assert (await again.say(do="unlock-operator", by="op-1", operator="op-2")).accepted
    assert (await again.say(do="sign-in", by="op-2", pin="9037")).accepted


async def test_a_pin_that_is_lost_or_no_pin_is_told_in_a_sentence_without_it(place: Place) -> None:
    """A file of PINs that is gone locks nobody out for ever: a supervisor sets them anew."""
    counter = await at_work(place)
    with pytest.raises(WrongFileError, match="choose 4 to 12 digits"):
        await counter.say(do="set-pin", by="op-1", operator="op-1", pin="12")
    with pytest.raises(WrongFileError, match="everybody tries this PIN first"):
        await counter.say(do="set-pin", by="op-1", operator="op-1", pin="1234")
    counter.file.path.unlink()
    assert await counter.refused(do="sign-in", by="op-1", pin="4071") is RefusalCode.PIN_WANTED
    counter.file.path.write_text("{}", encoding="utf-8")
    with pytest.raises(PinFileError, match="no file of PINs"):
        await counter.say(do="sign-in", by="op-1", pin="4071")


async def test_a_pin_that_may_not_be_set_is_not_kept(place: Place) -> None:
    """The file says nothing that the record does not."""
    counter = await at_work(place)
    before = counter.file.path.read_bytes()
    said = {"do": "set-pin", "by": "op-2", "operator": "op-1", "pin": "55190"}
    assert await counter.refused(**said) is RefusalCode.NOT_SIGNED_IN
    stranger = {**said, "operator": "op-9"}
    assert await counter.refused(**stranger) is RefusalCode.UNKNOWN_OPERATOR
    assert counter.file.path.read_bytes() == before


async def test_whoever_is_retired_leaves_no_hash_behind(place: Place) -> None:
    """Nobody signs in by it any more."""
    counter = await at_work(place, SitePolicy())
    key = counter.work.bay.board.operators["op-2"]
    assert key in counter.file.path.read_text(encoding="utf-8")
    assert (await counter.say(do="retire-operator", by="op-1", operator="op-2")).accepted
    assert key not in counter.file.path.read_text(encoding="utf-8")
    refused = await counter.refused(do="retire-operator", by="op-1", operator="op-1")
    assert refused is RefusalCode.NOT_ALLOWED


async def test_without_a_place_for_pins_none_is_looked_at(place: Place) -> None:
    """A desk that knows no journal says so."""
    counter = await at_work(place)
    counter.desk = Desk(identifiers=RandomIdentifiers(), find_assay=find)
    with pytest.raises(WrongFileError, match="no PINs are kept here"):
        await counter.say(do="sign-in", by="op-1", pin="4071")


async def test_a_badge_signs_in_several_and_a_lock_signs_them_out(place: Place) -> None:
    """Each act bears its own."""
    counter = await at_work(place, SitePolicy(sign_in=SignInBy.BADGE))
    for who in ("op-1", "op-2"):
        assert (await counter.say(do="sign-in", by=who)).accepted
    assert len(counter.work.bay.board.roster.signed_in) == 2
    assert (await counter.say(do="sign-out", by="op-2")).accepted
    assert (await counter.say(do="lock-station")).accepted
    assert not counter.work.bay.board.roster.signed_in


async def test_a_reading_under_a_typed_name_is_held_released_or_taken_back(place: Place) -> None:
    """The whole way of it, through a real journal and a restart."""
    counter = await at_work(place, SitePolicy())
    work = counter.work
    await work.to_well()
    work.clock.advance("15:00")
    answer = await counter.say(
        do="read", cartridge="C1", unverified="A. Name", control=True, test="absent"
    )
    assert answer.accepted
    assert isinstance(answer.events[1], ReadingHeld)
    await work.die()
    again = Counter(await place.take_up(work.clock), place)
    reading = again.work.cartridge().reading
    assert reading is not None
    assert again.work.bay.board.name(reading.by) == "A. Name"
    released = await again.say(
        do="release-reading", by="op-1", cartridge="C1", why="looked at the strip"
    )
    assert isinstance(released.events[0], ReadingReleased)
    withdrawn = await again.say(
        do="withdraw-result", by="op-1", cartridge="C1", reason="other", why="mistaken"
    )
    assert isinstance(withdrawn.events[0], ResultWithdrawn)
    chained = await again.work.bodies()
    assert "A. Name" not in chained
    assert "looked at the strip" not in chained


async def test_a_result_is_amended_and_two_are_taken_back_through_a_journal(place: Place) -> None:
    """A restart reads the same of both; no words lie in the chain."""
    counter = await at_work(place, SitePolicy())
    work = counter.work
    await work.to_well()
    work.clock.advance("15:00")
    await counter.say(do="read", by="op-1", cartridge="C1", control=True, test="absent")
    amended = await counter.say(
        do="amend-result",
        by="op-2",
        cartridge="C1",
        control=True,
        test="faint",
        reason="wrongly-seen",
        why="beside the letter",
    )
    assert isinstance(amended.events[0], ResultAmended)
    assert work.cartridge().outcome is Outcome.POSITIVE
    refused = {"by": "op-2", "reason": "other", "why": "x", "do": "amend-result"}
    assert await counter.refused(**refused, cartridge="C9") is RefusalCode.UNKNOWN_CARTRIDGE
    await counter.say(
        do="withdraw-result",
        by="op-2",
        cartridge="C1",
        reason="another-person",
        why="two of one name",
        persons=["P-002"],
    )
    await work.die()
    again = Counter(await place.take_up(work.clock), place)
    cartridge = again.work.cartridge()
    assert cartridge.withdrawn is not None
    assert len(cartridge.amendments) == 1
    assert len(again.work.bay.board.new_specimen) == 2
    chained = await again.work.bodies()
    assert "beside the letter" not in chained
    assert "two of one name" not in chained


async def test_a_strip_read_once_is_read_again_after_a_restart(place: Place) -> None:
    """The window goes on while nobody is there, and what was seen first is shown to nobody."""
    rule = SecondReaderRule(when=SecondReader.FAINT)
    counter = await at_work(place, SitePolicy(second_reader=(rule,)))
    work = counter.work
    await work.to_well()
    work.clock.advance("15:00")
    await counter.say(do="read", by="op-1", cartridge="C1", control=True, test="faint")
    assert work.cartridge().awaits_second
    await work.die()
    again = Counter(await place.take_up(work.clock), place)
    assert again.work.cartridge().awaits_second
    said = {"do": "read", "cartridge": "C1", "control": True, "test": "faint"}
    assert await again.refused(**said, by="op-1") is RefusalCode.NOT_ALLOWED
    await again.say(**said, by="op-2")
    assert again.work.cartridge().outcome is Outcome.POSITIVE


async def test_a_strip_that_no_second_reader_came_to_lapses_by_itself(place: Place) -> None:
    """The bay records it as any other lapse, and it waits for a supervisor."""
    rule = SecondReaderRule(when=SecondReader.FAINT)
    counter = await at_work(place, SitePolicy(second_reader=(rule,)))
    work = counter.work
    await work.to_well()
    work.clock.advance("15:00")
    await counter.say(do="read", by="op-1", cartridge="C1", control=True, test="faint")
    work.clock.advance("5:00.001")
    await work.ring()
    cartridge = work.cartridge()
    assert (cartridge.stage, cartridge.outcome) == (Stage.LAPSED, Outcome.WITHHELD)
    assert cartridge.held == (HoldReason.NOT_READ_TWICE,)


async def test_a_late_look_under_a_typed_name_is_kept_with_its_bands(place: Place) -> None:
    """As anybody's is."""
    counter = await at_work(place, SitePolicy())
    await counter.work.to_well()
    counter.work.clock.advance("20:00.001")
    said = {"do": "read", "cartridge": "C1", "unverified": "A", "control": True, "test": "faint"}
    assert await counter.refused(**said) is RefusalCode.WINDOW_CLOSED
    near_miss = (await counter.work.stored())[-1].event
    assert isinstance(near_miss, ActRefused)
    assert near_miss.bands is not None
    assert near_miss.act == "read-unverified"


async def test_clearances_are_held_against_the_sites_own_day(place: Place) -> None:
    """The start is at 00:46:40 of the 29th at the site."""
    policy = SitePolicy(outside_competence=OutsideCompetence.REFUSED)
    counter = await at_work(place, policy)
    for until, accepted in (("2026-03-28", False), ("2026-03-29", True)):
        stated = await counter.say(
            do="state-competence", by="op-2", operator="op-1", assay=NASAL.id, until=until
        )
        assert isinstance(stated.events[0], CompetenceStated)
        answer = await counter.work.enter(counter.work.label(f"C-{until}"))
        assert answer.accepted is accepted


async def test_opening_a_record_is_recorded_with_how_far_back_it_was_seen(place: Place) -> None:
    """A supervisor sees all of it, a tester the day."""
    counter = await at_work(place, SitePolicy())
    await counter.say(do="set-roles", by="op-1", operator="op-2", roles=["tester"])
    for who, since in (("op-1", None), ("op-2", begin_of_day(counter.work.bay))):
        (event,) = (await counter.say(do="open-record", by=who, person="P-001")).events
        assert isinstance(event, RecordOpened)
        assert event.since == since


async def test_a_whole_story_is_told_apart_from_a_history_on_record(place: Place) -> None:
    """Whoever asks later who looked is told at what."""
    counter = await at_work(place, SitePolicy())
    for more, what in (({}, Opened.HISTORY), ({"whole": True}, Opened.TRACE)):
        said = await counter.say(do="open-record", by="op-1", person="P-001", **more)
        (event,) = said.events
        assert isinstance(event, RecordOpened)
        assert event.what is what


async def test_a_story_is_looked_up_of_a_lot_an_operator_or_a_day(place: Place) -> None:
    """One of them, and it is on record which."""
    counter = await at_work(place, SitePolicy())
    key = counter.work.bay.board.operators["op-2"]
    for asked, of, about in (
        ({"lot": "L-100"}, TraceOf.LOT, "L-100"),
        ({"operator": "op-2"}, TraceOf.OPERATOR, key),
        ({"day": "2026-03-29"}, TraceOf.DAY, "2026-03-29"),
        ({"figures": True}, TraceOf.FIGURES, ""),
    ):
        (event,) = (await counter.say(do="open-trace", by="op-1", **asked)).events
        assert isinstance(event, TraceOpened)
        assert (event.of, event.about) == (of, about)


async def test_the_day_begins_at_the_sites_own_midnight(place: Place) -> None:
    """Also where the clocks went forward that night: at noon eleven hours are gone."""
    work = await place.take_up(timezone="Europe/London")
    began = begin_of_day(work.bay)
    work.clock.advance("6:00:00")
    assert begin_of_day(work.bay) == began
    work.clock.advance("24:00:00")
    assert begin_of_day(work.bay) == later(began, span("23:00:00"))
