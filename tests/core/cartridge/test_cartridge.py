"""A cartridge says what was done to it, what is due, and what stands from early looks."""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING

from builders import NEGATIVE, THREE_LINES, Bench, at, bands, span
from readbell.core.cartridge.stage import Stage

if TYPE_CHECKING:
    from readbell.core.assay.assay import Assay

EARLY_LEAVE: Assay = replace(
    THREE_LINES, reading=replace(THREE_LINES.reading, early_from=span("7:30"))
)


def test_time_zero_is_the_last_step() -> None:
    """Development counts from the drops, whatever happened before and however long ago."""
    bench = Bench()
    bench.label()
    assert bench.cartridge().applied is None
    found = bench.to_well("C2", "P-002", applied="2:30")

    assert found.applied is not None
    assert found.applied.said == at("2:30")
    assert found.next_step is None


def test_a_step_leaves_its_mark() -> None:
    """The record can be asked for any one step, done or not."""
    bench = Bench()
    bench.label()
    found = bench.step("buffer", "0:30")

    mark = found.mark_of("buffer")
    assert mark is not None
    assert mark.done.said == at("0:30")
    assert found.mark_of("collect") is None
    assert found.last_mark == mark


def test_the_last_act_is_a_step_a_reading_or_an_end_by_hand() -> None:
    """Not what time did to it: a strip that nobody read was last touched at its drops."""
    bench = Bench()
    assert bench.label("C1").last_act == at("0:00")
    bench.must(bench.void_act("C1"), "9:00")
    assert bench.cartridge("C1").last_act == at("9:00")
    bench.to_well("C2", applied="2:30")
    assert bench.cartridge("C2").last_act == at("2:30")
    bench.must(bench.read_act(NEGATIVE, "C2"), "18:00")
    assert bench.cartridge("C2").last_act == at("18:00")


def test_the_id_is_not_the_label() -> None:
    """The label on the plastic comes again another day, the id never does."""
    found = Bench().label("C1")

    assert (found.id, found.label) == ("id-C1", "C1")
    assert found.labelled.subject == "key-P-001"


def test_early_lines_of_several_looks_add_up_in_the_devices_order() -> None:
    """A second look that shows another line takes nothing back from the first."""
    bench = Bench(EARLY_LEAVE)
    bench.to_well(applied="1:00")
    third_only = bands(influenza_a="absent", influenza_b="absent", sars_cov_2="faint")
    first_only = bands(influenza_a="clear", influenza_b="absent", sars_cov_2="absent")
    bench.must(bench.look_act(third_only), "10:00")
    bench.must(bench.look_act(first_only), "11:00")

    assert bench.cartridge().early_lines == ("influenza-a", "sars-cov-2")
    assert bench.cartridge().stage is Stage.DEVELOPING


def test_an_end_is_an_end() -> None:
    """Running and ended cartridges are kept apart by this one answer."""
    bench = Bench()
    assert not bench.label().has_ended
    bench.must(bench.void_act())

    assert bench.cartridge().has_ended
