"""Every alert falls once, in order, before any later act and after any act of its own instant."""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING

import pytest

from builders import NASAL, at
from readbell.core.board.entry import Do, Entry
from readbell.core.cartridge.due import alerts_to_come
from readbell.core.cartridge.events import AlertKind, AlertRaised, CartridgeLapsed, StepDone
from readbell.core.cartridge.stage import Stage
from readbell.core.reading.bands import Strength
from readbell.journal.sqlite import SqliteJournal

if TYPE_CHECKING:
    from collections.abc import Sequence

    from bay.conftest import Place, Work
    from readbell.journal.record import Head, Record

MANY = 200

TWO_STEPS = replace(
    NASAL,
    id="two-steps",
    steps=(NASAL.steps[0], replace(NASAL.steps[-1], collects=True)),
    reading=replace(NASAL.reading, early_from=None),
)
"""An assay that is quickly brought to the well."""


class CountingJournal(SqliteJournal):
    """A journal in memory that also notes how many events each commit held."""

    commits: list[int]

    def append(self, records: Sequence[Record], expected: Head) -> Head:
        """Store `records`, and note how many they were."""
        self.commits.append(len(records))
        return super().append(records, expected)


@pytest.mark.parametrize(
    ("waited", "fallen"),
    [
        pytest.param("0:59.999", [], id="one millisecond short"),
        pytest.param("1:00", [(AlertKind.WAIT_OVER, "C1")], id="as the wait ends"),
    ],
)
async def test_an_alert_falls_at_its_instant_and_not_before(
    work: Work, waited: str, fallen: list[tuple[AlertKind, str]]
) -> None:
    """A bell that rings early makes people act early."""
    await work.to_extract()
    work.clock.advance(waited)

    assert await work.ring() == fallen


async def test_every_alert_of_a_cartridge_falls_in_its_order(work: Work) -> None:
    """Looked at once in a long while, nothing is lost and nothing changes places."""
    await work.to_well()
    work.clock.advance("21:00")

    assert [kind for kind, _ in await work.ring()] == [
        AlertKind.EARLY_LOOK,
        AlertKind.READ_NOW,
        AlertKind.CLOSING,
        AlertKind.LAPSED,
    ]


async def test_no_alert_falls_twice(work: Work) -> None:
    """Asked again at the same instant or later, the bay has nothing to repeat."""
    await work.to_extract()
    work.clock.advance("1:00")
    await work.ring()

    again = await work.ring()
    work.clock.advance("0:30")

    assert again == []
    assert await work.ring() == []


@pytest.mark.parametrize("ahead", ["15:00", "19:00", "20:00.001"])
async def test_what_is_known_ahead_is_what_the_cartridge_says_then(work: Work, ahead: str) -> None:
    """It is worked out before it falls; a restart, which asks anew, must find the same."""
    await work.to_well()
    work.clock.advance("9:00")
    await work.ring()
    work.clock.advance(ahead)
    await work.ring()
    announcer = work.bay._announcer
    asked = {
        key: (each, alerts)
        for key, each in work.bay.board.running.items()
        if (alerts := alerts_to_come(each))
    }

    assert announcer._to_come == asked
    assert work.bay.next_due() == min((a[0].due for _, a in asked.values()), default=None)


async def test_an_act_goes_before_the_alert_of_its_own_instant(work: Work) -> None:
    """Whoever acts in the last millisecond was in time and is not rung at."""
    await work.to_extract()
    work.clock.advance("1:00")
    await work.must(work.step("withdraw"))

    assert await work.ring() == []
    assert AlertKind.WAIT_OVER not in [kind for kind, _ in work.alerts()]


async def test_an_alert_that_fell_due_before_an_act_is_announced_before_it(work: Work) -> None:
    """The record must not look as if somebody had acted before the bell rang."""
    await work.to_extract()
    work.clock.advance("1:00.001")
    await work.must(work.step("withdraw"))

    *_, alert, step = [each.event for each in await work.stored()]
    assert isinstance(alert, AlertRaised)
    assert alert.alert is AlertKind.WAIT_OVER
    assert isinstance(step, StepDone)


async def test_a_late_alert_says_when_it_was_due(work: Work) -> None:
    """Late is told as late: both instants stand in the record."""
    await work.to_extract()
    work.clock.advance("1:07")
    await work.ring()

    alert = (await work.stored())[-1].event
    assert isinstance(alert, AlertRaised)
    assert (alert.due, alert.at) == (at("1:00"), at("1:07"))


async def test_the_window_still_takes_a_reading_at_its_last_millisecond(work: Work) -> None:
    """The close belongs to the window: an act of that instant goes before the lapse."""
    await work.to_well()
    work.clock.advance("20:00")
    await work.must(work.read())

    assert work.cartridge().stage is Stage.READ
    assert AlertKind.LAPSED not in [kind for kind, _ in work.alerts()]


async def test_the_lapse_itself_is_recorded_before_its_alert(work: Work) -> None:
    """First the fact with the instant it came true, then the word that it did."""
    await work.to_well()
    work.clock.advance("25:00")
    await work.ring()

    *_, lapse, alert = [each.event for each in await work.stored()]
    assert isinstance(lapse, CartridgeLapsed)
    assert lapse.at == at("21:00.001")
    assert isinstance(alert, AlertRaised)
    assert alert.alert is AlertKind.LAPSED


async def test_alerts_of_one_instant_fall_in_the_order_of_labelling(work: Work) -> None:
    """Two runs of one day must tell the same story in the same order."""
    for label in ("C2", "C1"):
        await work.to_extract(label)
    work.clock.advance("1:00")

    assert await work.ring() == [(AlertKind.WAIT_OVER, "C2"), (AlertKind.WAIT_OVER, "C1")]


async def test_alerts_found_late_fall_in_the_order_in_which_they_were_due(work: Work) -> None:
    """Whatever was labelled first: what should have rung first rings first."""
    await work.must(work.label("C1"))
    await work.to_extract("C2", person="P-002")
    work.clock.advance("0:30")
    for step in ("buffer", "collect", "extract"):
        await work.must(work.step(step, "C1"))
    work.clock.advance("2:45")

    assert await work.ring() == [
        (AlertKind.WAIT_OVER, "C2"),
        (AlertKind.WAIT_OVER, "C1"),
        (AlertKind.OVERDUE, "C2"),
    ]


async def test_a_read_cartridge_rings_no_more(work: Work) -> None:
    """A bell for a strip that was read teaches people to mute bells."""
    await work.to_well()
    work.clock.advance("15:00")
    await work.ring()
    await work.must(work.read())
    work.clock.advance("10:00")

    assert await work.ring() == []
    assert work.bay.next_due() is None


async def test_an_early_positive_is_still_called_to_its_window(work: Work) -> None:
    """Until the window reading it is preliminary, so the bell for it must ring."""
    await work.to_well()
    work.clock.advance("3:00")
    await work.must(replace(work.read(test=Strength.CLEAR), do=Do.LOOK))
    work.clock.advance("12:00")

    assert (AlertKind.READ_NOW, "C1") in await work.ring()


async def test_a_void_cartridge_rings_no_more(work: Work) -> None:
    """What was given up asks for nothing."""
    await work.to_extract()
    await work.must(Entry(do=Do.VOID, by="op-1", cartridge="C1", reason="dropped"))

    assert work.bay.next_due() is None


async def test_many_alerts_of_one_instant_go_in_one_commit(place: Place) -> None:
    """The disk is waited for once, so the last of two hundred rings as soon as the first."""
    journal = CountingJournal.open(None)
    journal.commits = []
    work = await place.take_up(journal=journal)
    await work.prepare(TWO_STEPS)
    labels = [f"C{number}" for number in range(1, MANY + 1)]
    for label in labels:
        await work.must(work.label(label))
        await work.must(work.step("apply", label))
    journal.commits.clear()
    work.clock.advance("15:00")

    assert await work.ring() == [(AlertKind.READ_NOW, label) for label in labels]
    assert journal.commits == [MANY]
