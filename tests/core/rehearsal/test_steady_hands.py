"""Steady hands lose no window that could be kept, and never hurry a rule to keep one."""

from __future__ import annotations

from dataclasses import replace
from itertools import pairwise
from typing import TYPE_CHECKING

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from builders import NASAL, START, THREE_LINES, at, span
from core.rehearsal.shift import READ, Piece, hands_of, of_cartridge, play, visitors
from readbell.core.board.entry import Do, Entry
from readbell.core.instant import Instant, between, later
from readbell.core.refusal import RefusalCode
from readbell.core.rehearsal.steady_hands import TRY_AGAIN_AFTER, Deed
from readbell.core.rehearsal.workload import FAR

if TYPE_CHECKING:
    from readbell.core.assay.assay import Assay

STEPS = ["label", "buffer", "collect", "extract", "withdraw", "apply"]
HOUR = 3_600_000
GLOVES = span("0:20")

# Short windows are the hard ones: while one is open there is no time to begin somebody.
NARROW = replace(
    NASAL,
    reading=replace(NASAL.reading, opens=span("5:00"), closes=span("6:10"), early_from=None),
)

ARRIVALS = st.lists(st.integers(0, HOUR), min_size=1, max_size=14)
OPERATORS = st.integers(1, 3)
ASSAYS = st.sampled_from([NASAL, THREE_LINES, NARROW])


def day(operators: int, arrivals: list[int], assay: Assay = NASAL) -> list[Piece]:
    """Let so many operators serve those who arrive."""
    return play(hands_of(operators, visitors(arrivals), assay), operators)


@settings(max_examples=60, deadline=None)
@given(operators=OPERATORS, arrivals=ARRIVALS, assay=ASSAYS)
def test_every_reading_ends_inside_its_window(
    operators: int, arrivals: list[int], assay: Assay
) -> None:
    """Whoever arrives when, the next person waits rather than a strip is read late."""
    for work in of_cartridge(day(operators, arrivals, assay)).values():
        ends = {piece.what: piece.ends for piece in work}
        begins = {piece.what: piece.begins for piece in work}
        closes = assay.reading.closes

        assert closes is not None
        assert between(ends["apply"], begins[READ]) >= assay.reading.opens
        assert between(ends["apply"], ends[READ]) <= closes


@settings(max_examples=60, deadline=None)
@given(operators=OPERATORS, arrivals=ARRIVALS)
def test_every_swab_stands_neither_too_short_nor_too_long(
    operators: int, arrivals: list[int]
) -> None:
    """The firm minute is kept before the swab is touched, the three minutes before it is out."""
    for work in of_cartridge(day(operators, arrivals)).values():
        ends = {piece.what: piece.ends for piece in work}
        begins = {piece.what: piece.begins for piece in work}

        assert between(ends["extract"], begins["withdraw"]) >= span("1:00")
        assert between(ends["extract"], ends["withdraw"]) <= span("3:00")


@settings(max_examples=60, deadline=None)
@given(operators=OPERATORS, arrivals=ARRIVALS)
def test_everybody_is_served_once_and_wholly_by_one_pair_of_hands(
    operators: int, arrivals: list[int]
) -> None:
    """Nobody is forgotten in the queue, and no cartridge changes hands half done."""
    found = of_cartridge(day(operators, arrivals))

    assert len(found) == len(arrivals)
    assert len({work[0].entry.person for work in found.values()}) == len(arrivals)
    for work in found.values():
        assert [piece.what for piece in work] == [*STEPS, READ]
        assert len({piece.operator for piece in work}) == 1


@settings(max_examples=60, deadline=None)
@given(operators=OPERATORS, arrivals=ARRIVALS)
def test_nobody_is_begun_before_they_arrive_or_out_of_turn(
    operators: int, arrivals: list[int]
) -> None:
    """First come, first served; nobody is swabbed who is not there."""
    begun = sorted(
        (piece.begins, piece.entry.person)
        for piece in day(operators, arrivals)
        if piece.entry.do is Do.LABEL
    )
    came = visitors(arrivals)

    assert [person for _, person in begun] == [each.person for each in came]
    assert all(begins >= each.arrives for (begins, _), each in zip(begun, came, strict=True))


@settings(max_examples=60, deadline=None)
@given(operators=OPERATORS, arrivals=ARRIVALS)
def test_fresh_gloves_cost_their_time_between_two_people(
    operators: int, arrivals: list[int]
) -> None:
    """A plan without glove changes is a plan nobody can keep, and one with needless ones wastes."""
    on = dict.fromkeys((f"op-{number}" for number in range(1, operators + 1)), "")
    for piece in sorted(day(operators, arrivals), key=lambda piece: piece.begins):
        step = NASAL.step(piece.what)
        usual = NASAL.reading.hands_on if step is None else step.hands_on
        person = piece.entry.person or ""
        touches = step is not None and step.touches_specimen
        fresh = touches and on[piece.operator] not in ("", person)

        assert piece.takes == usual + (GLOVES if fresh else 0)
        if touches:
            on[piece.operator] = person


@settings(max_examples=60, deadline=None)
@given(operators=OPERATORS, arrivals=ARRIVALS)
def test_steps_without_a_wait_between_them_are_one_piece_of_work(
    operators: int, arrivals: list[int]
) -> None:
    """Hands that leave a swab in the air to begin somebody else mix people up."""
    work = day(operators, arrivals)
    for number in range(1, operators + 1):
        mine = [piece for piece in work if piece.operator == f"op-{number}"]
        for piece, following in pairwise(mine):
            if piece.what in ("label", "buffer", "collect", "withdraw"):
                assert following.entry.cartridge == piece.entry.cartridge
                assert following.begins == piece.ends


def test_one_person_takes_as_long_as_the_steps_and_the_window_say() -> None:
    """The whole of a day is built of this one sequence, so it is held to the second."""
    ends = {piece.what: piece.ends for piece in day(1, [0])}

    assert ends == {
        "label": at("0:10"),
        "buffer": at("0:20"),
        "collect": at("1:05"),
        "extract": at("1:30"),
        "withdraw": at("2:40"),
        "apply": at("3:00"),
        READ: at("18:15"),
    }


def test_the_entry_names_cartridge_person_and_lot() -> None:
    """What these hands enter passes the same checks as what people enter."""
    first, *others = day(1, [0])

    assert (first.entry.lot, first.entry.scanned, first.entry.person) == ("L-100", "C1", "P-001")
    assert {piece.entry.lot for piece in others} == {""}


def test_the_second_person_is_swabbed_while_the_first_swab_stands() -> None:
    """Waiting is used; that is the whole gain of planning."""
    ends = {(piece.entry.cartridge, piece.what): piece.ends for piece in day(1, [0, 0])}

    assert ends["C2", "label"] == at("1:40")
    assert ends["C2", "extract"] == at("3:20")
    assert ends["C1", "withdraw"] == at("3:50")


def waiting_for_a_narrow_window(arrives: str) -> Deed | Instant:
    """Return what hands turn to when somebody arrives while one cartridge develops."""
    hands = hands_of(1, visitors([0, span(arrives)]), NARROW)
    now = START
    while now < at("3:00"):
        following = hands.next_deed("op-1", now)
        now = following.ends if isinstance(following, Deed) else following
    return hands.next_deed("op-1", at(arrives))


# The drops fell at 3:00, so the reading must have ended at 9:10 and takes 15 s. A new person
# takes 10 + 10 + 20 (gloves) + 45 + 25 = 110 s without a break.
@pytest.mark.parametrize(
    ("arrives", "begins"),
    [
        pytest.param("7:05", True, id="just enough time before the window must be read"),
        pytest.param("7:05.001", False, id="a millisecond too late to begin"),
    ],
)
def test_the_next_person_is_begun_only_if_no_window_is_lost(arrives: str, *, begins: bool) -> None:
    """The last safe instant is exact: a millisecond later the queue waits."""
    assert isinstance(waiting_for_a_narrow_window(arrives), Deed) is begins


def test_a_start_that_was_not_safe_is_soon_considered_again() -> None:
    """The next reading or the next few seconds may make it safe."""
    assert waiting_for_a_narrow_window("7:30") == later(at("7:30"), TRY_AGAIN_AFTER)


def test_idle_hands_begin_even_what_cannot_be_kept() -> None:
    """Where the reading takes longer than its window, waiting would not make it any easier."""
    slow = replace(NASAL, reading=replace(NASAL.reading, hands_on=span("6:00")))

    assert [piece.what for piece in day(1, [0], slow)] == [*STEPS, READ]


def test_hands_without_a_visitor_ask_again_when_the_next_one_comes() -> None:
    """Nobody looks at the door each second."""
    hands = hands_of(1, visitors([60_000]))

    assert hands.next_deed("op-1", START) == at("1:00")


def test_hands_without_anything_to_come_never_ask_again() -> None:
    """A day with nobody in it is over at once."""
    assert hands_of(1, []).next_deed("op-1", START) == FAR


def test_an_empty_shelf_sends_the_queue_home() -> None:
    """Without a usable lot nobody can be begun, and nobody waits for ever."""
    hands = hands_of(1, visitors([0, 0]), boxes=0)

    assert hands.next_deed("op-1", START) == FAR


def test_somebody_asked_again_goes_to_the_end_of_the_queue() -> None:
    """A repeat does not push back those who came on time."""
    hands = hands_of(1, visitors([0]))
    hands.ask_again("P-777", START)

    labelled = [piece.entry.person for piece in play(hands, 1) if piece.entry.do is Do.LABEL]

    assert labelled == ["P-001", "P-777"]


def test_a_refused_label_puts_its_person_first_again() -> None:
    """The bay had a reason, such as a lot just used up; the person keeps their turn."""
    hands = hands_of(1, visitors([0, 0]))
    refused = hands.next_deed("op-1", START)
    assert isinstance(refused, Deed)
    hands.label_refused(refused.entry, refused.ends)

    again = play(hands, 1, refused.ends)

    labelled = [piece.entry for piece in again if piece.entry.do is Do.LABEL]
    assert [entry.person for entry in labelled] == ["P-001", "P-002"]
    assert [entry.cartridge for entry in labelled] == ["C2", "C3"]


def test_who_is_refused_for_their_own_sake_leaves() -> None:
    """Asked again at once they would answer the same, and nobody behind them would be begun."""
    hands = hands_of(1, visitors([0, 0]))
    refused = hands.next_deed("op-1", START)
    assert isinstance(refused, Deed)
    hands.label_refused(refused.entry, refused.ends, RefusalCode.CONSENT_MISSING)

    again = play(hands, 1, refused.ends)

    assert [each.entry.person for each in again if each.entry.do is Do.LABEL] == ["P-002"]


def refused_again_and_again(operators: int, why: RefusalCode) -> list[Instant]:
    """Let every start be refused for that reason; when each was, until nobody tries any more."""
    hands = hands_of(operators, visitors([0, 0]), boxes=1_000)
    free = {f"op-{number}": START for number in range(1, operators + 1)}
    tried: list[Instant] = []
    while free and len(tried) < 1_000:
        operator = min(free, key=lambda each: free[each])
        now = free.pop(operator)
        following = hands.next_deed(operator, now)
        if isinstance(following, Deed):
            assert following.entry.do is Do.LABEL
            hands.label_refused(following.entry, following.ends, why)
            tried.append(following.ends)
            free[operator] = following.ends
        elif following < FAR:
            free[operator] = following
    return tried


@pytest.mark.parametrize("operators", [1, 3])
@pytest.mark.parametrize(
    "why", [RefusalCode.CONTROLS_DUE, RefusalCode.KIT_COLD, RefusalCode.NOT_COMPETENT]
)
def test_what_the_bay_refuses_to_everybody_is_tried_ever_more_seldom_and_given_up(
    operators: int, why: RefusalCode
) -> None:
    """These hands run no control samples: asking for ever would never let a rehearsal end."""
    tried = refused_again_and_again(operators, why)
    assert len(tried) == 12 * operators
    waits = [between(one, other) for one, other in pairwise(tried[::operators])]
    assert waits == sorted(waits)
    assert between(tried[0], tried[-1]) > 2 * HOUR


def test_the_next_label_or_lot_is_tried_at_once() -> None:
    """A shelf has another box, and a pen another number."""
    tried = refused_again_and_again(1, RefusalCode.LABEL_IN_USE)[:3]
    assert [between(one, other) for one, other in pairwise(tried)] == [span("0:10"), span("0:10")]


def test_what_was_refused_once_and_then_let_be_costs_no_patience_later() -> None:
    """A kit that has warmed up is warm."""
    hands = hands_of(1, visitors([0]))
    refused = hands.next_deed("op-1", START)
    assert isinstance(refused, Deed)
    hands.label_refused(refused.entry, refused.ends, RefusalCode.KIT_COLD)
    again = hands.next_deed("op-1", refused.ends)
    assert again == later(refused.ends, TRY_AGAIN_AFTER)
    work = play(hands, 1, refused.ends)
    assert [piece.what for piece in work] == [*STEPS, READ]
    hands.ask_again("P-002", work[-1].ends)
    another = hands.next_deed("op-1", work[-1].ends)
    assert isinstance(another, Deed)
    hands.label_refused(another.entry, another.ends, RefusalCode.KIT_COLD)
    assert hands.next_deed("op-1", another.ends) == later(another.ends, TRY_AGAIN_AFTER)


def test_a_strip_that_was_read_once_is_read_again_by_whoever_has_least_to_do() -> None:
    """At once if the window is open; with nobody else there, by nobody."""
    entry = Entry(do=Do.READ, by="op-1", cartridge="C1", person="P-1")
    assert hands_of(1, visitors([])).read_again(entry, NASAL, at("2:00")) is None
    hands = hands_of(3, visitors([]))
    assert hands.read_again(entry, NASAL, at("2:00")) == "op-2"
    assert hands.read_again(replace(entry, cartridge="C2"), NASAL, at("2:00")) == "op-3"
    assert hands.next_deed("op-1", at("18:00")) == FAR
    deed = hands.next_deed("op-2", at("18:00"))
    assert isinstance(deed, Deed)
    assert (deed.entry.do, deed.entry.by, deed.entry.cartridge) == (Do.READ, "op-2", "C1")
    assert hands.next_deed("op-2", deed.ends) == FAR
