"""One whole shift, line by line: from the opening checks to the signed day sheet.

A new lot, both control samples, a household of four, warmth at the bench, another
operator by badge, and a recall: what each part promises has to hold among the others.
"""

from __future__ import annotations

import json
from dataclasses import replace
from functools import partial
from typing import TYPE_CHECKING, Any

import pytest_asyncio

from builders import NASAL, private
from core.board.shift_bench import WELL
from readbell.assays.content_hash import content_hash
from readbell.assays.library import Library
from readbell.bay.desk import Desk
from readbell.bay.identifiers import RandomIdentifiers
from readbell.bay.site_time import time_zone
from readbell.core.board.acts import RegisterOperator
from readbell.core.board.day_sheet import make_day_sheet
from readbell.core.policy.policy import SitePolicy
from readbell.core.policy.shifts import Shifts
from readbell.core.policy.staffing import SignInBy
from readbell.core.policy.stocking import Strictness
from readbell.core.policy.temperature import OutsideTemperature
from readbell.core.refusal import RefusalCode
from readbell.core.review.reasons import HoldReason
from readbell.core.shift.checks import LeftKind
from readbell.journal.shifts_kept import ShiftAsItStood, as_it_stood, shifts_kept
from readbell.phrases.clock_time import ClockFace
from readbell.phrases.day_sheet_words import day_sheet_lines
from readbell.scenarios.line import read_line

if TYPE_CHECKING:
    from collections.abc import AsyncIterator

    from bay.conftest import Place, Work
    from readbell.bay.news import Answer
    from readbell.core.assay.assay import Assay

POLICY = SitePolicy(
    shifts=Shifts.ON,
    sign_in=SignInBy.BADGE,
    controls_new_lot=True,
    controls_after_excursion=True,
    controls_overdue=Strictness.REFUSE,
    temperature_hours=4,
    outside_temperature=OutsideTemperature.SUPERVISED,
)
HOUSEHOLD = ("P-101", "P-102", "P-103", "P-104")
FACE = ClockFace(zone=time_zone("UTC"))


def find(reference: str) -> tuple[Assay, str]:
    """The bundled assay of that name, with its fingerprint."""
    assay = Library().find(reference)
    return assay, content_hash(assay)


class Bench:
    """Lines in, answers out, and time by hand."""

    def __init__(self, work: Work) -> None:
        self.work = work
        self.desk = Desk(
            identifiers=RandomIdentifiers(),
            find_assay=find,
            look_about=lambda _: replace(WELL, clock_is_set=None),
        )
        self.by = "op-1"

    async def said(self, do: str, **keys: Any) -> Answer:
        """Say one line, as whoever is at the bench."""
        given = {"do": do, "by": self.by, **keys}
        return await self.desk.serve(self.work.bay, read_line(json.dumps(given)))  # type: ignore[arg-type]

    async def must(self, do: str, **keys: Any) -> None:
        """Say one line and insist that it is taken."""
        answer = await self.said(do, **keys)
        assert answer.accepted, (do, keys, answer.refusal)

    async def refused(self, do: str, **keys: Any) -> RefusalCode:
        """Say one line and insist that it is not."""
        answer = await self.said(do, **keys)
        assert answer.refusal is not None
        return answer.refusal.code

    async def run(self, cartridge: str, test: str, **subject: Any) -> None:
        """One device from its label to its reading."""
        await self.must("label", cartridge=cartridge, lot="L-200", **subject)
        await self.to_well(cartridge)
        self.work.clock.advance("16:00")
        await self.must("read", cartridge=cartridge, control=True, test=test)

    async def to_well(self, cartridge: str) -> None:
        """From the label to the drops."""
        for step in ("buffer", "collect", "extract"):
            await self.must("step", cartridge=cartridge, step=step)
        self.work.clock.advance("1:00")
        for step in ("withdraw", "apply"):
            await self.must("step", cartridge=cartridge, step=step)


@pytest_asyncio.fixture
async def bench(place: Place) -> AsyncIterator[Bench]:
    """A bay under a strict policy: op-1 supervises, op-2 tests and reads."""
    work = await place.take_up(policy=POLICY)
    made = Bench(work)
    await work.bay.do(RegisterOperator(by=None, operator=private("op-1")))
    await made.must("sign-in")
    await made.must("register-operator", id="op-2")
    await made.must("set-roles", operator="op-1", roles=["tester", "reader", "supervisor"])
    await made.must("set-roles", operator="op-2", roles=["tester", "reader"])
    await made.must("adopt-assay", assay=NASAL.id, instructions="IFU 4")
    yield made
    await work.die()


async def opened(bench: Bench) -> None:
    """The opening checks and what they ask for, with a new lot and both its control samples."""
    await bench.must("test-alarm", heard=True)
    await bench.must("note-temperature", celsius=21.0)
    await bench.must("receive-box", number="L-200", assay=NASAL.id, expires="2026-12-31", units=20)
    await bench.must("open-lot", lot="L-200")
    for number, kind in (("PC-1", "positive"), ("NC-1", "negative")):
        await bench.must(
            "receive-sample", number=number, kind=kind, assay=NASAL.id, expires="2026-12-31"
        )
    await bench.must("open-shift", light=True)


async def samples_pass(bench: Bench, positive: str, negative: str) -> None:
    """Both control samples, run as any cartridge is."""
    await bench.run(positive, "clear", sample="PC-1")
    await bench.run(negative, "absent", sample="NC-1")


def sheet_of(stood: ShiftAsItStood) -> list[str]:
    """The day sheet as it is printed."""
    kept = stood.kept
    sheet = make_day_sheet(stood.board, kept.shift, stood.events, kept.signed)
    return list(day_sheet_lines(sheet, stood.board, FACE))


async def test_a_whole_shift_from_opening_checks_to_signed_day_sheet(bench: Bench) -> None:
    """Each rule at its turn, and nothing that another part had promised is lost."""
    await opened(bench)
    await bench.must("register-party", id="a van", persons=list(HOUSEHOLD))
    too_soon = await bench.refused("label", cartridge="C01", person="P-101", lot="L-200")
    await samples_pass(bench, "S01", "S02")

    # The household in turn; one device is still in its window when it gets too warm.
    await bench.run("C01", "absent", person="P-101")
    await bench.must("label", cartridge="C02", person="P-102", lot="L-200")
    await bench.to_well("C02")
    bench.work.clock.advance("5:00")
    await bench.must("note-temperature", celsius=33.0)

    # Another operator by badge: alone they may not start while it is too warm.
    bench.by = "op-2"
    await bench.must("sign-in")
    bench.work.clock.advance("11:00")
    await bench.must("read", cartridge="C02", control=True, test="faint")
    due_again = await bench.refused("label", cartridge="C03", person="P-103", lot="L-200")
    await samples_pass(bench, "S03", "S04")
    alone = await bench.refused("label", cartridge="C03", person="P-103", lot="L-200")
    await bench.must("label", cartridge="C03", person="P-103", lot="L-200", witness="op-1")
    await bench.to_well("C03")
    bench.work.clock.advance("16:00")
    await bench.must("read", cartridge="C03", control=True, test="absent")
    await bench.must("note-temperature", celsius=22.0)
    await bench.run("C04", "absent", person="P-104")

    # The kit is called back: what was read with it waits, and nobody new is begun on it.
    await bench.must("recall-lot", lot="L-200", words="letter of the maker")
    held = await bench.refused("label", cartridge="C05", person="P-101", lot="L-200")
    await bench.must("count-units", lot="L-200", counted=12)
    close_wrong = await bench.refused("sign-day-sheet")
    await bench.must("close-shift")
    by_tester = await bench.refused("sign-day-sheet")
    bench.by = "op-1"
    before = bench.work.keeper.head
    await bench.must("sign-day-sheet")

    assert too_soon is due_again is RefusalCode.CONTROLS_DUE
    assert alone is RefusalCode.OUT_OF_TEMPERATURE
    assert held is RefusalCode.LOT_ON_HOLD
    assert close_wrong is by_tester is RefusalCode.ROLE_MISSING

    kept = await bench.work.keeper.read(shifts_kept)
    closed, signed = kept[1].shift.closed, kept[1].signed
    assert closed is not None
    assert signed is not None
    left = {each.kind: each.about for each in closed.left}
    assert left == {LeftKind.HELD: ("C01", "C02", "C03", "C04")}
    assert (signed.head, signed.sequence, signed.own) == (before.hex, before.seq, False)

    board = bench.work.bay.board
    reasons = {label: set(bench.work.cartridge(label).held) for label in left[LeftKind.HELD]}
    warm = {HoldReason.TEMPERATURE, HoldReason.LOT_RECALLED}
    # Read before the samples that the warmth asked for had passed.
    assert reasons["C02"] == warm | {HoldReason.CONTROLS_OVERDUE}
    assert reasons["C03"] == warm
    assert HoldReason.LOT_RECALLED in reasons["C01"] & reasons["C04"]
    assert not board.labelled("S01").held  # type: ignore[union-attr]

    stood = await bench.work.keeper.read(partial(as_it_stood, kept=kept[1]))
    printed = "\n".join(sheet_of(stood))
    assert stood.head.seq < before.seq  # the near misses at signing came after the closing
    for line in (
        "closed with held for review: C01, C02, C03, C04",
        "at work: op-1, op-2",
        "4 of patients: 1 positive, 3 negative, 0 invalid, 0 withheld",
        "33.0 °C  OUT OF RANGE",
        (
            "L-200: 4 patients, 0 repeats, 4 samples, 0 void, 0 lost, 20 received; "
            "12 left by the record, counted: +0"
        ),
        "clock set by a time source: not known",
        f"the record then ended with event {before.seq}, head",
        before.hex,
    ):
        assert line in printed
    assert all(person not in printed for person in HOUSEHOLD)


async def test_the_next_shift_begins_with_fresh_labels_and_its_own_box(bench: Bench) -> None:
    """And the sheet of the one before is still its own."""
    await opened(bench)
    await bench.must("register-person", id="P-101")
    await samples_pass(bench, "S01", "S02")
    await bench.run("C01", "clear", person="P-101")
    await bench.must("close-shift")
    await bench.must("open-shift")
    await bench.must("open-lot", lot="L-200")
    await bench.must("register-person", id="P-102")
    await bench.run("C01", "absent", person="P-102")

    kept = await bench.work.keeper.read(shifts_kept)
    stood = [
        await bench.work.keeper.read(partial(as_it_stood, kept=each)) for each in kept.values()
    ]
    sheets = ["\n".join(sheet_of(each)) for each in stood]
    assert "1 of patients: 1 positive" in sheets[0]
    assert "NOT SIGNED" in sheets[0]
    assert "1 of patients: 0 positive, 1 negative" in sheets[1]
    assert "still open" in sheets[1]
