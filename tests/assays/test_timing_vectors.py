"""Windows of other kinds of tests, from file to refusal, pinned at their borders.

The figures are those of published procedures; which, stands beside each.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

import pytest

from builders import NEGATIVE, Bench, at, span
from readbell.assays.library import read_assay
from readbell.core.cartridge.countdown import countdown
from readbell.core.cartridge.due import alerts_to_come
from readbell.core.cartridge.events import AlertKind, CartridgeRead
from readbell.core.instant import Span, later
from readbell.core.refusal import RefusalCode
from readbell.core.span_text import write_span
from readbell.toml_tables import WrongFileError

if TYPE_CHECKING:
    from assays.conftest import Writing
    from readbell.core.assay.assay import Assay

APPLIED = "2:30"


def window(write_assay: Writing, opens: str, closes: str) -> Assay:
    """The nasal assay with another window, by way of its file."""
    return read_assay(
        write_assay(
            ('opens = "15:00"', f'opens = "{opens}"'),
            ('closes = "20:00"', f'closes = "{closes}"'),
            ('closing_warning = "2:00"\n', ""),
            ('early_from = "2:00"\n', ""),
        )
    )


def read_after(assay: Assay, elapsed: str) -> RefusalCode | None:
    """Read a strip so long after its drops; return why that is refused, if it is."""
    bench = Bench(assay)
    bench.to_well(applied=APPLIED)
    now = write_span(Span(span(APPLIED) + span(elapsed)))
    decided = bench.do(bench.read_act(NEGATIVE), now)
    if isinstance(decided, tuple):
        assert isinstance(decided[0], CartridgeRead)
        return None
    return decided.code


@pytest.mark.parametrize(
    ("opens", "closes", "elapsed", "code"),
    [
        # Urine hCG cassette: read at 5 minutes, do not interpret after 8 (a maker's procedure).
        pytest.param("5:00", "8:00", "4:59.999", RefusalCode.TOO_EARLY, id="5/8 just before"),
        pytest.param("5:00", "8:00", "5:00", None, id="5/8 as it opens"),
        pytest.param("5:00", "8:00", "8:00", None, id="5/8 as it closes"),
        pytest.param("5:00", "8:00", "8:00.001", RefusalCode.WINDOW_CLOSED, id="5/8 just after"),
        # Generic malaria test: wait 15 minutes, not after 30 (a WHO guide; from memory).
        pytest.param("15:00", "30:00", "14:59.999", RefusalCode.TOO_EARLY, id="15/30 just before"),
        pytest.param("15:00", "30:00", "15:00", None, id="15/30 as it opens"),
        pytest.param("15:00", "30:00", "30:00", None, id="15/30 as it closes"),
        pytest.param(
            "15:00", "30:00", "30:00.001", RefusalCode.WINDOW_CLOSED, id="15/30 just after"
        ),
    ],
)
def test_both_borders_of_a_published_window_belong_to_it(
    write_assay: Writing, opens: str, closes: str, elapsed: str, code: RefusalCode | None
) -> None:
    """A millisecond on either side decides whether a strip means anything."""
    assert read_after(window(write_assay, opens, closes), elapsed) is code


# Malaria job aid of a public family: "do not read sooner than 20"; no latest minute is printed.
@pytest.mark.parametrize(
    ("elapsed", "code"),
    [
        pytest.param("19:59.999", RefusalCode.TOO_EARLY, id="just before"),
        pytest.param("20:00", None, id="as it opens"),
        pytest.param("20:01", None, id="a second later"),
        pytest.param("12:00:00", None, id="the next morning"),
    ],
)
def test_a_window_without_a_stated_end_opens_and_never_closes(
    write_assay: Writing, elapsed: str, code: RefusalCode | None
) -> None:
    """What the kit does not state the program does not invent."""
    assert read_after(window(write_assay, "20:00", "no stated limit"), elapsed) is code


def test_a_window_without_a_stated_end_neither_closes_nor_lapses(write_assay: Writing) -> None:
    """No bell may threaten with an end that nobody printed."""
    bench = Bench(window(write_assay, "20:00", "no stated limit"))
    cartridge = bench.to_well(applied=APPLIED)

    assert [each.kind for each in alerts_to_come(cartridge)] == [AlertKind.READ_NOW]
    assert countdown(cartridge, later(at(APPLIED), span("25:00"))) is None


# A seller's strip: "complete reaction time 5 minutes"; "do not read after 5 minutes".
def test_a_reading_at_one_instant_is_refused_with_what_to_set(write_assay: Writing) -> None:
    """Nobody can press within a millisecond: the site must say what it accepts."""
    with pytest.raises(WrongFileError) as refused:
        window(write_assay, "5:00", "5:00")

    assert "reading.closes = 5:00: a reading at one single instant cannot be kept" in str(
        refused.value
    )
    assert 'set the last instant the site accepts, or closes = "no stated limit"' in str(
        refused.value
    )


def test_the_shortest_window_of_a_millisecond_is_taken(write_assay: Writing) -> None:
    """Only the window of no length at all is beyond keeping."""
    assay = window(write_assay, "5:00", "5:00.001")

    assert read_after(assay, "5:00") is None
    assert read_after(assay, "5:00.001") is None
    assert read_after(assay, "5:00.002") is RefusalCode.WINDOW_CLOSED
