"""What an event is about is read off the names of its fields."""

from __future__ import annotations

from dataclasses import replace
from typing import get_type_hints

import pytest

from builders import Bench, at
from core.board.erasing_bench import kept_apart, refused, visit
from core.board.paper_bench import entered, run
from journal.samples import Day
from readbell.core.board.concerns import Links, actors_in, entered_in, kept_apart_in
from readbell.core.cartridge.events import CartridgeLabelled, Identified, SubjectKind
from readbell.core.catalogue import NAMES
from readbell.core.exports.events import EVERYTHING, ExportedResult, ResultsExported
from readbell.core.policy.sending import ReportFormat
from readbell.core.private import Private
from readbell.core.results.status import ResultStatus


@pytest.mark.parametrize("entered", ["no JSON", "[1]", '{"person": 7}', "{}"])
def test_what_cannot_be_understood_names_nobody(entered: str) -> None:
    """Old near misses are read as they are."""
    assert entered_in(refused(entered), "person") == ""
    assert entered_in(refused(None), "person") == ""


def test_whatever_is_kept_apart_stands_in_a_field_of_its_event() -> None:
    """A kind that hides one deeper would be passed over by every erasing."""
    for kind in NAMES:
        hints = get_type_hints(kind)
        deep = [name for name, hint in hints.items() if "Private" in str(hint)]
        direct = [name for name in deep if hints[name] in (Private, Private | None)]
        assert deep == direct, kind


def test_a_kind_is_found_by_the_names_of_its_fields() -> None:
    """One that comes later needs no line anywhere."""
    bench = Bench()
    bench.label()
    (label,) = bench.must(bench.label_act("C2", "P-002"))
    links = Links()
    links.note(label)
    assert links.person_of(label) == "key-P-002"
    assert list(links.lots_in(label)) == ["L-100", "L-100"]
    assert list(actors_in(label)) == ["key-op-1"]
    assert list(kept_apart_in(label)) == []


def test_a_run_on_paper_is_its_persons_and_a_sample_is_nobodys() -> None:
    """What was entered afterwards belongs to their story too."""
    day = Day()
    visit(day, "C1", "P-001")
    links = Links()
    for event in day.events:
        links.note(event)
    on_paper = entered(replace(run(), person="P-002"))
    sample = CartridgeLabelled(
        at=at("0:00"),
        by="key-op-1",
        cartridge="id-S1",
        label="S1",
        subject="material-1",
        subject_kind=SubjectKind.CONTROL_SAMPLE,
        lot="L-100",
        assay="",
        repeat_of=None,
        identified=Identified(),
    )
    links.note(on_paper)
    links.note(sample)
    left = ExportedResult(cartridge="paper-1", version=1, status=ResultStatus.FINAL)
    export = ResultsExported(
        at=at("21:00"),
        by=None,
        export="export-1",
        format=ReportFormat.CSV,
        count=2,
        digest="",
        where=None,
        choice=EVERYTHING,
        part=1,
        parts=1,
        results=(left, replace(left, cartridge="id-S1"), replace(left, cartridge="id-unknown")),
    )
    assert links.person_of(on_paper) == "key-P-002"
    assert list(links.persons_in(export)) == ["key-P-002"]
    assert list(links.lots_in(export)) == ["L-100", "L-100"]
    assert set(actors_in(on_paper)) == {"key-op-1", "key-op-2"}


def test_what_is_kept_apart_is_part_of_the_story_of_its_person_and_of_whoever_did_it() -> None:
    """By the names of its fields, as every event."""
    links = Links()
    event = kept_apart(None, "key-P-001")

    assert links.person_of(event) == "key-P-001"
    assert list(actors_in(event)) == ["key-op-1"]
