"""The whole screen, masked or left alone: it names nobody, and tells no result."""

from __future__ import annotations

from dataclasses import replace

import pytest

from builders import private
from readbell.core.board.acts import RegisterParty
from readbell.core.instant import Span
from readbell.hand.doing import Helping
from readbell.hand.hand import Said
from readbell.ui.glyphs import UNICODE
from readbell.ui.look import Look
from ui.busy_board import busy_bench
from ui.pages import EVERY, READING, SIZES, SMALL_SIZES, painted, present, text

BOARD = busy_bench().board

MASKED = Look(glyphs=UNICODE, masks=True)
PARTY = busy_bench()
PARTY.must(
    RegisterParty(by="op-1", party=private("party 1"), persons=(private("P-777"), private("P-778")))
)


@pytest.mark.parametrize("size", [*SIZES, *SMALL_SIZES])
def test_a_masked_board_names_nobody_and_tells_no_result(size: tuple[int, int]) -> None:
    """Not in the call, nor the list, nor among those who wait."""
    page = text(painted(present(PARTY.board), *size, MASKED))

    assert "P-0" not in page
    assert "P-77" not in page
    assert "e+" not in page


def test_who_is_next_is_told_and_masked() -> None:
    """Whoever waits at the table has a name, too."""
    assert "to begin: P-777, then 1 more" in text(painted(present(PARTY.board), 80, 24))
    assert "to begin: P-···" in text(painted(present(PARTY.board), 80, 24, MASKED))


def test_where_those_who_are_next_wait_is_told() -> None:
    """In the site's own words, and beside whom it is about; a lane is nobody's name."""
    bench = busy_bench()
    persons = (private("P-777"), private("P-778"))
    bench.must(
        RegisterParty(by="op-1", party=private("van"), persons=persons, lane=private("lane 2"))
    )
    page = text(painted(present(bench.board), 80, 24))
    assert "to begin: P-777, lane 2, then 1 more" in page
    assert ", lane 2" in text(painted(present(bench.board), 80, 24, MASKED))


def test_the_chosen_cartridge_opened_shows_whose_it_is_though_the_board_is_masked() -> None:
    """Somebody chose it to see that."""
    page = text(painted(present(BOARD, chosen="id-C09", opened=True), 120, 40, MASKED))

    assert page.count("P-0420") == 1


def test_while_nobody_is_there_everything_is_masked() -> None:
    """A screen left alone shows no names, whatever was open on it."""
    idle = Span(11 * 60_000)
    said = Said("P-0420: same person as on C09.", fine=True)
    for doing in EVERY:
        now = present(BOARD, doing, said=said, chosen="id-C09", opened=True, idle=idle)
        for size in SIZES:
            page = text(painted(now, *size))
            assert "P-0" not in page, page
            assert "P-90" not in page
            assert "e+" not in page or isinstance(doing, Helping)


def test_a_form_left_alone_hides_the_id_and_the_outcome_on_its_key() -> None:
    """They come back with the first key."""
    doing = replace(READING, lines=(("sars-cov-2", "clear"),), person="P-0414")
    here = text(painted(present(BOARD, doing), 120, 40))
    away = painted(present(BOARD, doing, idle=Span(11 * 60_000)), 120, 40)

    assert "F5 Save C03 P-0414 + POSITIVE" in here
    assert "F5 Save C03  " in away.lines[-1].text


def test_a_site_may_want_no_masking_by_idleness() -> None:
    """0 minutes: never."""
    look = Look(glyphs=UNICODE, masks_after=Span(0))

    assert "P-0414" in text(painted(present(BOARD, idle=Span(10**9)), 80, 24, look))
