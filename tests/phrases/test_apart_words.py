"""What is kept apart tells all that it said, so that it can be entered anew."""

from __future__ import annotations

import json
from dataclasses import replace
from datetime import UTC

from builders import CLEAR, NEGATIVE, Bench, at, private
from readbell.core.cartridge.events import CartridgeRead, StepDone
from readbell.core.catalogue import VERSIONS
from readbell.core.people.events import PersonRegistered
from readbell.core.private import Private
from readbell.core.stations.apart import ApartReason
from readbell.core.stations.events import ActKeptApart
from readbell.phrases.apart_bands import event_kept
from readbell.phrases.apart_words import say_both_sides, say_what_it_said
from readbell.phrases.clock_time import ClockFace
from readbell.phrases.station_words import tell_of_stations
from readbell.shapes import shape_of

FACE = ClockFace(zone=UTC)
KEPT = ActKeptApart(
    at=at("20:00"),
    station="window",
    done=at("18:00"),
    by="key-op-1",
    kind="cartridge-read",
    version=1,
    reason=ApartReason.READ_THERE,
    cartridge=None,
    label="",
    person=None,
    body="{}",
    entered=None,
    asks=True,
)


def kept(event: object, kind: str, cartridge: str | None = None) -> ActKeptApart:
    """Return `event` as it is kept apart."""
    entered: dict[str, str] = {}

    def take_out(value: Private) -> str:
        entered[value.key] = value.value or ""
        return json.dumps({"key": value.key})

    body = shape_of(type(event)).write(event, take_out)
    values = Private(key="key-entered", salt="salt", value=json.dumps(entered))
    return replace(
        KEPT,
        kind=kind,
        version=VERSIONS.get(kind, 1),
        body=body,
        entered=values if entered else None,
        cartridge=cartridge,
    )


def read_strip() -> tuple[Bench, CartridgeRead]:
    """Return a bench with a strip that was read, and its reading."""
    bench = Bench()
    bench.to_well("C1")
    made = bench.must(bench.read_act(CLEAR, "C1"), "18:00")
    (read,) = (each for each in made if isinstance(each, CartridgeRead))
    return bench, read


def test_a_reading_tells_when_by_whom_and_what_was_seen() -> None:
    """By the letters printed beside the lines."""
    bench, read = read_strip()
    found = kept(read, "cartridge-read", cartridge=read.cartridge)

    assert event_kept(found) == read
    said = say_what_it_said(found, bench.board, FACE)
    assert said == "Done at 01:11:20 by op-1: C present, T clear."


def test_the_line_of_the_record_tells_what_was_seen_too() -> None:
    """A trace of it, years later, is all that there is."""
    bench, read = read_strip()
    found = kept(read, "cartridge-read", cartridge=read.cartridge)

    assert " Seen: C present, T clear. It counts for nothing" in tell_of_stations(
        found, bench.board
    )


def test_of_a_device_that_the_record_never_introduced_the_lines_go_by_their_keys() -> None:
    """Its label was taken, say."""
    bench, read = read_strip()
    found = kept(read, "cartridge-read", cartridge="id-nobody-knows")

    assert say_what_it_said(found, bench.board, FACE).endswith("C present, sars-cov-2 clear.")


def test_what_was_seen_on_a_strip_that_is_still_to_be_read_is_told_to_nobody() -> None:
    """Whoever reads it is to look for themselves."""
    bench, read = read_strip()
    waiting = Bench()
    waiting.to_well("C1")
    found = kept(read, "cartridge-read", cartridge=waiting.cartridge().id)

    assert say_what_it_said(found, waiting.board, FACE) == "Done at 01:11:20 by op-1."
    assert bench.cartridge().has_ended


def test_a_step_tells_which_one() -> None:
    """In the assay's own word for it."""
    bench = Bench()
    bench.label()
    made = bench.must(bench.step_act("buffer"), "0:10")
    (step,) = (each for each in made if isinstance(each, StepDone))
    found = kept(step, "step-done", cartridge="id-C1")

    assert say_what_it_said(found, bench.board, FACE) == "Done at 01:11:20 by op-1: buffer."


def test_what_was_noted_of_a_person_is_told_as_it_would_have_been() -> None:
    """Its identifiers lie beside the chain, and come back from there."""
    event = PersonRegistered(at=at("18:00"), by="key-op-1", person=private("P-900"))
    found = kept(event, "person-registered")

    assert json.loads(found.body)["person"] == {"key": "key-P-900"}
    said = say_what_it_said(found, Bench().board, FACE)
    assert said == "Done at 01:11:20 by op-1: Person P-900 registered."


def test_what_was_erased_is_told_without_it() -> None:
    """The rest of it stays."""
    event = PersonRegistered(at=at("18:00"), by="key-op-1", person=private("P-900"))
    found = kept(event, "person-registered")
    assert found.entered is not None
    erased = replace(found, entered=replace(found.entered, value=None), by=None)

    said = say_what_it_said(erased, Bench().board, FACE)

    assert said == "Done at 01:11:20: Person erased registered."


def test_what_a_newer_program_kept_is_told_as_far_as_it_is_known() -> None:
    """Nothing of it is made up."""
    for changed in (replace(KEPT, kind="not-known-here"), replace(KEPT, body='{"odd": 1}')):
        assert event_kept(changed) is None
        assert say_what_it_said(changed, Bench().board, FACE) == "Done at 01:11:20 by op-1."


def test_a_body_of_another_shape_than_the_present_one_is_not_read_as_if_it_were() -> None:
    """A field that means something else by now would be a sentence that nobody said."""
    bench, read = read_strip()
    found = kept(read, "cartridge-read", cartridge=read.cartridge)
    for version in (0, 2):
        other = replace(found, version=version)
        assert event_kept(other) is None
        assert say_what_it_said(other, bench.board, FACE) == "Done at 01:11:20 by op-1."
    bench.label("C2")
    (step,) = (
        each
        for each in bench.must(bench.step_act("buffer", "C2"), "20:00")
        if isinstance(each, StepDone)
    )
    done = kept(step, "step-done", cartridge="id-C2")
    assert event_kept(done) == step
    assert event_kept(replace(done, version=1)) is None


def test_what_both_sides_saw_of_one_strip_is_told_together() -> None:
    """Whoever decides about it needs both."""
    bench, read = read_strip()
    other = replace(read, bands=NEGATIVE)
    found = kept(other, "cartridge-read", cartridge=read.cartridge)
    board = replace(bench.board, apart={"0": found, "1": replace(found, cartridge="another")})
    cartridge = board.cartridge(read.cartridge)
    assert cartridge is not None

    assert list(say_both_sides(cartridge, board, FACE)) == [
        "In the record: C present, T clear, by op-1 at 01:11:20.",
        "Kept apart, from station window: Done at 01:11:20 by op-1: C present, T absent.",
    ]


def test_of_a_strip_that_one_side_saw_or_that_still_runs_nothing_is_told() -> None:
    """Nothing is kept apart of it, or somebody is still to look for themselves."""
    bench, read = read_strip()
    cartridge = bench.board.cartridge(read.cartridge)
    assert cartridge is not None
    assert not list(say_both_sides(cartridge, bench.board, FACE))

    bench = Bench()
    bench.to_well("C1")
    running = bench.board.cartridge(read.cartridge)
    assert running is not None
    found = kept(read, "cartridge-read", cartridge=read.cartridge)
    board = replace(bench.board, apart={"0": found})
    assert not list(say_both_sides(running, board, FACE))
