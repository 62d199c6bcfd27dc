"""What a day came to: one line a cartridge, the totals, and the cautions that always hold."""

from __future__ import annotations

from builders import CLEAR, NEGATIVE, Bench, at
from readbell.core.board.fold import fold
from readbell.core.cartridge.looks import lapse
from readbell.phrases.summary import CAUTIONS, sum_up

END = at("10:00")
"""While a strip applied at 2:30 still develops."""


def row(bench: Bench, label: str = "C1") -> list[str]:
    """The words of one cartridge's line."""
    (line,) = (line for line in sum_up(bench.board, END) if line.startswith(f"{label} "))
    return line.split()


def test_a_read_cartridge_shows_when_after_its_drops() -> None:
    """Whole seconds, rounded down."""
    bench = Bench()
    bench.to_well()
    bench.must(bench.read_act(CLEAR), "18:00.999")

    assert row(bench) == ["C1", "P-001", "L-100", "read", "+", "POSITIVE", "15:30"]


def test_a_running_cartridge_shows_its_stage_and_no_outcome() -> None:
    """What has not been read has no word of its own."""
    bench = Bench()
    bench.to_well()

    assert row(bench) == ["C1", "P-001", "L-100", "developing"]


def test_a_lapsed_cartridge_shows_that_nobody_read_it() -> None:
    """Invalid, and no time of a reading."""
    bench = Bench()
    bench.to_well()
    bench.board = fold(bench.board, lapse(bench.cartridge(), at("22:30.001")))

    assert row(bench) == ["C1", "P-001", "L-100", "lapsed", "x", "INVALID"]


def test_a_stated_time_is_marked() -> None:
    """Such times are marked everywhere and left out of timing figures."""
    bench = Bench()
    bench.label()
    for step in ("buffer", "collect", "extract"):
        bench.step(step, "0:00")
    bench.step("withdraw", "1:00")
    bench.must(bench.step_act("apply", done_at="2:00", doubt="0:05"), "4:00")
    bench.must(bench.read_act(NEGATIVE), "18:00")

    assert " ".join(row(bench)).endswith("16:00 (stated, not timed)")


def test_totals_count_each_outcome_and_what_lapsed() -> None:
    """The line somebody copies into the day's log."""
    bench = Bench()
    for label in ("C1", "C2", "C3"):
        bench.to_well(label)
    bench.must(bench.read_act(CLEAR, "C1"), "18:00")
    bench.must(bench.read_act(NEGATIVE, "C2"), "18:00")
    bench.board = fold(bench.board, lapse(bench.cartridge("C3"), at("22:30.001")))

    assert "3 cartridges: 1 positive, 1 negative, 1 invalid, 0 withheld; 1 of them lapsed." in list(
        sum_up(bench.board, END)
    )


def test_one_cartridge_is_not_called_several() -> None:
    """Words are read aloud: "1 cartridges" makes everybody stumble."""
    bench = Bench()
    bench.label()

    assert any(line.startswith("1 cartridge: ") for line in sum_up(bench.board, END))


def test_the_cautions_close_every_summary() -> None:
    """The kit's own instructions go first, and a negative excludes nothing."""
    lines = list(sum_up(Bench().board, END))

    assert tuple(lines[-len(CAUTIONS) :]) == CAUTIONS
    assert "A negative does not exclude infection." in " ".join(CAUTIONS)
    assert "instructions for use come first" in " ".join(CAUTIONS)
