"""What is kept from one second to the next is what would be painted afresh."""

from __future__ import annotations

from dataclasses import replace
from datetime import UTC, timedelta, timezone
from typing import TYPE_CHECKING, Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from builders import START, Bench, private
from core.any_acts import PLANS, Plan, play
from readbell.core.board.acts import RegisterParty
from readbell.core.board.events import ClockUnsure
from readbell.core.board.fold import fold
from readbell.core.instant import Instant, Span, later
from readbell.phrases.clock_time import ClockFace
from readbell.ui import at_rest, load, rows_kept, standings
from readbell.ui.glyphs import ASCII, UNICODE
from readbell.ui.listing import Pointed
from readbell.ui.look import Look
from readbell.ui.measures import measures
from readbell.ui.page import Page, compose
from readbell.ui.row import Shared, parts_of, row
from readbell.ui.rows_kept import rows_of
from ui.busy_board import FACE, NOW, busy_bench
from ui.pages import present
from ui.shared_bay import alone, linked, shared_board

if TYPE_CHECKING:
    from readbell.core.board.board import Board
    from readbell.core.cartridge.cartridge import Cartridge
    from readbell.ui.front import Present
    from readbell.ui.ink import Line

SIZES = ((36, 12), (60, 16), (80, 24), (120, 40), (200, 60))
AWAY = Span(11 * 60_000)


def _boards() -> tuple[Board, ...]:
    """The busy bay as it is, after an act, with a clock in doubt, and with a party."""
    acted, doubted, together = busy_bench(), busy_bench(), busy_bench()
    acted.must(acted.void_act("C24"), "40:00")
    unsure = ClockUnsure(at=NOW, cartridges=tuple(doubted.board.running)[:12])
    doubted.board = fold(doubted.board, unsure)
    persons = (private("P-0431"), private("P-0999"))
    party = RegisterParty(by="op-1", party=private("house-1"), persons=persons)
    together.must(party, "40:00")
    return (busy_bench().board, acted.board, doubted.board, together.board)


BOARDS = (*_boards(), shared_board())
BUSY = BOARDS[0]
INSTANTS = st.one_of(
    st.integers(-2, 40).map(lambda seconds: later(NOW, Span(seconds * 1_000))),
    st.integers(-60_000, 2_400_000).map(lambda elapsed: later(NOW, Span(elapsed))),
)
"""Also backwards: nothing old may stay on the screen."""
CHOSEN = st.none() | st.sampled_from(sorted(BUSY.running))
AROUND = st.sampled_from([None, linked(), linked(away=True), alone()])
PLUS_TWO = timezone(timedelta(hours=2))
FACES = st.builds(ClockFace, zone=st.sampled_from([UTC, PLUS_TWO]), apart=st.integers(-2, 2))


@st.composite
def presents(draw: st.DrawFn, boards: tuple[Board, ...] = BOARDS) -> Present:
    """How everything may stand."""
    board, now, face = draw(st.sampled_from(boards)), draw(INSTANTS), draw(FACES)
    called = draw(CHOSEN)
    made = present(
        board,
        now=now,
        chosen=draw(CHOSEN),
        opened=draw(st.booleans()),
        idle=draw(st.sampled_from([Span(0), AWAY])),
        alerted={} if called is None else {called: Instant(now - 1_000)},
        around=draw(AROUND),
    )
    return replace(made, scene=replace(made.scene, face=face))


@pytest.fixture
def forgetful(monkeypatch: pytest.MonkeyPatch) -> None:
    """Nothing is kept from before this test."""
    forget(monkeypatch)


def forget(monkeypatch: pytest.MonkeyPatch) -> None:
    """Begin as a program does that has painted nothing yet."""
    monkeypatch.setattr(rows_kept, "_ROWS", rows_kept._Rows())
    monkeypatch.setattr(standings, "_LAST_ASKED", standings._LastAsked())
    monkeypatch.setattr(at_rest, "_LAST_SEEN", at_rest._LastSeen())
    load._figures.cache_clear()


def page(now: Present, size: tuple[int, int], look: Look) -> Page:
    """The whole screen."""
    return compose(now, look, *size)


def shared(
    board: Board = BUSY, *, size: tuple[int, int] = (120, 40), face: ClockFace = FACE
) -> Shared:
    """What the rows of a picture have in common."""
    return Shared.of(board, measures(*size).columns, UNICODE, face=face, masked=False)


def rows(
    now: Instant, board: Board = BUSY, pointed: Pointed | None = None, face: ClockFace = FACE
) -> list[Line]:
    """The rows of all that run."""
    every = tuple(board.running.values())
    return rows_of(every, now, shared(board, face=face), pointed or Pointed())


@settings(max_examples=60, deadline=None)
@given(
    seen=st.lists(
        st.tuples(
            presents(),
            st.sampled_from(SIZES),
            st.builds(
                Look,
                glyphs=st.sampled_from([UNICODE, ASCII]),
                readers_can=st.sampled_from([None, 3]),
                masks=st.booleans(),
            ),
        ),
        min_size=2,
        max_size=6,
    )
)
def test_a_page_with_what_was_kept_is_the_page_without(
    seen: list[tuple[Present, tuple[int, int], Look]],
) -> None:
    """Line by line and look by look, whatever was painted before: speed may change nothing."""
    with pytest.MonkeyPatch.context() as patch:
        forget(patch)
        kept = [page(*each) for each in seen]
    for each, found in zip(seen, kept, strict=True):
        with pytest.MonkeyPatch.context() as patch:
            forget(patch)
            assert page(*each) == found


def _with_places(board: Board) -> Board:
    """The board once it is said of one cartridge where it lies."""
    each = board.running["id-C25"]
    placed = replace(each, labelled=replace(each.labelled, place=private("tray 4")))
    return replace(board, running={**board.running, each.id: placed})


def _without(board: Board, person: str) -> Board:
    """The board once nobody may know `person` by name any more."""
    key = board.persons[person]
    return replace(board, names={**board.names, key: None})


@pytest.mark.parametrize(
    "change",
    [
        pytest.param({"chosen": "id-C05"}, id="another is chosen"),
        pytest.param({"idle": AWAY}, id="names are hidden"),
        pytest.param({"alerted": {"id-C03": Instant(NOW - 2_000)}}, id="a fill is swapped"),
        pytest.param({"board": BOARDS[3]}, id="some came in a party"),
        pytest.param({"board": _with_places(BUSY)}, id="one has a place"),
        pytest.param({"board": _without(BUSY, "P-0414")}, id="a name was erased"),
    ],
)
@pytest.mark.parametrize("size", [(82, 24), (120, 40), (200, 60)])
@pytest.mark.usefixtures("forgetful")
def test_each_thing_that_a_row_shows_is_seen_to_change(
    change: dict[str, Any], size: tuple[int, int], monkeypatch: pytest.MonkeyPatch
) -> None:
    """Between two pictures of one and the same instant, there and back."""
    first, second = present(BUSY), present(**({"board": BUSY} | change))
    look = Look(glyphs=UNICODE)
    seen = [page(each, size, look) for each in (first, second, first)]
    forget(monkeypatch)
    assert page(first, size, look) == seen[0] == seen[2]
    forget(monkeypatch)
    assert page(second, size, look) == seen[1]


@pytest.mark.parametrize("size", [(82, 24), (120, 40), (200, 60)])
@pytest.mark.usefixtures("forgetful")
def test_other_signs_another_zone_and_another_size_are_other_rows(
    size: tuple[int, int], monkeypatch: pytest.MonkeyPatch
) -> None:
    """What a site sets may differ between two boards in one program."""
    now = present(BUSY)
    away = replace(now, scene=replace(now.scene, face=replace(FACE, zone=PLUS_TWO)))
    asked = [
        (now, size, Look(glyphs=UNICODE)),
        (now, size, Look(glyphs=ASCII)),
        (away, size, Look(glyphs=ASCII)),
        (away, (size[0] - 1, size[1]), Look(glyphs=ASCII)),
    ]
    seen = [page(*each) for each in asked]
    for each, found in zip(asked, seen, strict=True):
        forget(monkeypatch)
        assert page(*each) == found


@settings(max_examples=40, deadline=None)
@given(
    plan=PLANS, seconds=st.lists(st.integers(0, 3_000_000), min_size=1, max_size=4), chosen=CHOSEN
)
def test_whatever_was_done_the_rows_are_those_of_one_who_paints_afresh(
    plan: Plan, seconds: list[int], chosen: str | None
) -> None:
    """Boards that people make, sensible or not, each looked at some times."""
    for board, _, _ in play(plan):
        every = tuple(board.running.values())
        for elapsed in seconds:
            now = later(START, Span(elapsed))
            together = shared(board)
            made = rows_of(every, now, together, Pointed(chosen=chosen))
            assert made == [fresh(each, together, now, chosen) for each in every]


def fresh(cartridge: Cartridge, together: Shared, now: Instant, chosen: str | None) -> Line:
    """The row with nothing kept."""
    return row(
        cartridge,
        together.board,
        now,
        together.columns,
        UNICODE,
        face=together.face,
        chosen=cartridge.id == chosen,
    )


@pytest.mark.usefixtures("forgetful")
def test_within_a_second_the_rows_are_the_very_same() -> None:
    """What has not changed is known not to have, without a look at its cells."""
    assert all(one is other for one, other in zip(rows(NOW), rows(NOW), strict=True))


@pytest.mark.usefixtures("forgetful")
def test_a_second_later_hardly_any_row_is_made_anew(monkeypatch: pytest.MonkeyPatch) -> None:
    """Only the figures go on; a track moves each twenty seconds."""
    rows(later(NOW, Span(1_000)))
    made: list[str] = []

    def counted(cartridge: Cartridge, *given: object, **named: object) -> object:
        made.append(cartridge.label)
        return parts_of(cartridge, *given, **named)  # type: ignore[arg-type]

    monkeypatch.setattr(rows_kept, "parts_of", counted)
    rows(later(NOW, Span(2_000)))
    assert len(made) < len(BUSY.running) / 4


@pytest.mark.usefixtures("forgetful")
def test_a_wall_clock_that_reads_a_millisecond_otherwise_changes_no_row() -> None:
    """Two clocks are read one after the other, so it does all the time."""
    before = rows(NOW, face=ClockFace(zone=UTC, apart=500))
    after = rows(NOW, face=ClockFace(zone=UTC, apart=501))
    assert all(one is other for one, other in zip(before, after, strict=True))


@pytest.mark.usefixtures("forgetful")
def test_an_act_on_one_leaves_the_rows_of_the_others() -> None:
    """A scan must not cost a picture of two hundred rows."""
    bench: Bench = busy_bench()
    before = dict(zip(bench.board.running, rows(NOW, bench.board), strict=True))
    bench.must(bench.step_act("collect", "C24"), "40:00")
    after = dict(zip(bench.board.running, rows(NOW, bench.board), strict=True))

    assert {bench.board.running[key].label for key in after if after[key] is not before[key]} == {
        "C24"
    }
