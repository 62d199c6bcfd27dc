"""Whether a look at the strip counts: what was seen, held against when it was seen."""

from __future__ import annotations

from dataclasses import replace

import pytest

from builders import (
    CLEAR,
    FAINT,
    NASAL,
    NEGATIVE,
    NO_CONTROL,
    SMEAR,
    THREE_LINES,
    Bench,
    at,
    bands,
    span,
)
from readbell.core.board.decide import decide
from readbell.core.board.events import ClockUnsure
from readbell.core.board.fold import fold
from readbell.core.cartridge.acts import Look, Read
from readbell.core.cartridge.events import (
    CartridgeRead,
    EarlyPositiveSeen,
    How,
    Identified,
    ReadingKind,
)
from readbell.core.cartridge.looks import lapse
from readbell.core.cartridge.stage import Stage
from readbell.core.instant import later
from readbell.core.reading.bands import Bands, Unreadable
from readbell.core.reading.interpretation import Outcome
from readbell.core.refusal import Refusal

SEEN = {
    "clear line": CLEAR,
    "faint line": FAINT,
    "no test line": NEGATIVE,
    "no control line": NO_CONTROL,
    "nothing at all": bands(control=False, sars_cov_2="absent"),
    "unreadable": SMEAR,
}
WHEN = {
    "at the drops": "0:00",
    "just before early": "1:59.999",
    "as early begins": "2:00",
    "just before the window": "14:59.999",
    "as the window opens": "15:00",
    "as it closes": "20:00",
    "just after it": "20:00.001",
}
# Rows: seen. Columns: when, as above. Common practice; an assay file sets the figures.
EARLY = {
    #                  0:00         1:59.999     2:00                14:59.999
    "clear line": ("too-early", "too-early", "positive", "positive"),
    "faint line": ("too-early", "too-early", "positive", "positive"),
    "no test line": ("too-early", "too-early", "early-negative", "early-negative"),
    "no control line": ("too-early", "too-early", "early-no-control", "early-no-control"),
    "nothing at all": ("too-early", "too-early", "early-no-control", "early-no-control"),
    "unreadable": ("too-early", "too-early", "early-no-control", "early-no-control"),
}
LATER_LOOK = ("not-allowed", "not-allowed", "window-closed")
WINDOW = {
    "clear line": "positive",
    "faint line": "positive",
    "no test line": "negative",
    "no control line": "invalid",
    "nothing at all": "invalid",
    "unreadable": "invalid",
}


def look_cases() -> list[object]:
    """Each cell of the table for an early look."""
    return [
        pytest.param(seen, when, gives, id=f"{seen}, {when}")
        for seen, early in EARLY.items()
        for when, gives in zip(WHEN, (*early, *LATER_LOOK), strict=True)
    ]


def read_cases() -> list[object]:
    """Each cell of the table for a window reading."""
    return [
        pytest.param(seen, when, gives, id=f"{seen}, {when}")
        for seen, outcome in WINDOW.items()
        for when, gives in zip(
            WHEN, (*["too-early"] * 4, outcome, outcome, "window-closed"), strict=True
        )
    ]


def what_comes_of(seen: str, when: str, kind: type[Look] | type[Read]) -> str:
    """The refusal code, or the outcome of what was accepted; the drops fell at 1:00."""
    bench = Bench()
    bench.to_well(applied="1:00")
    act = kind(aim=bench.aim(), bands=SEEN[seen])
    decided = decide(bench.board, act, later(at("1:00"), span(WHEN[when])))
    if isinstance(decided, Refusal):
        return str(decided.code)
    (event,) = decided
    if isinstance(event, CartridgeRead):
        return str(event.outcome)
    assert isinstance(event, EarlyPositiveSeen)
    return "positive"


@pytest.mark.parametrize(("seen", "when", "gives"), look_cases())
def test_an_early_look_gives_a_valid_positive_or_nothing(seen: str, when: str, gives: str) -> None:
    """A line that is not there yet may still come, so nothing else may come of a look."""
    assert what_comes_of(seen, when, Look) == gives


@pytest.mark.parametrize(("seen", "when", "gives"), read_cases())
def test_a_reading_counts_inside_its_window_only(seen: str, when: str, gives: str) -> None:
    """Both borders belong to it; a line that appears later is not a result."""
    assert what_comes_of(seen, when, Read) == gives


def test_a_refused_reading_says_when_it_will_count() -> None:
    """Too early is told with the instant to come back and how long after the drops it is."""
    bench = Bench()
    bench.to_well(applied="2:30")
    refusal = bench.refused(bench.read_act(CLEAR), "17:29.999")

    assert refusal.due == at("17:30")
    assert refusal.elapsed == span("14:59.999")


@pytest.mark.parametrize(
    ("seen", "now", "due"),
    [
        pytest.param(CLEAR, "4:29.999", "4:30", id="too early: when early looks begin"),
        pytest.param(NEGATIVE, "4:30", "17:30", id="early negative: when the window opens"),
        pytest.param(NO_CONTROL, "4:30", "17:30", id="no control line: when the window opens"),
        pytest.param(CLEAR, "17:30", "17:30", id="no early look any more: the window is open"),
    ],
)
def test_a_refused_look_says_when_to_come_back(seen: Bands, now: str, due: str) -> None:
    """The one thing the operator can do about it is to come back in time."""
    bench = Bench()
    bench.to_well(applied="2:30")

    assert bench.refused(bench.look_act(seen), now).due == at(due)


def test_a_look_before_the_drops_is_out_of_order() -> None:
    """There is nothing to see yet; the refusal names the step that is wanted."""
    bench = Bench()
    bench.label()

    for act in (bench.look_act(CLEAR), bench.read_act(CLEAR)):
        refusal = bench.refused(act, "0:10")
        assert (refusal.code, refusal.subject) == ("out-of-order", "Buffer into the tube")


@pytest.mark.parametrize(
    "when", ["at the drops", "as early begins", "just before the window", "as it closes"]
)
def test_without_the_kits_leave_no_look_is_allowed(when: str) -> None:
    """An early positive off label would be an error, so the assay file alone can allow it."""
    bench = Bench(THREE_LINES)
    bench.to_well(applied="1:00")
    all_clear = bands(influenza_a="clear", influenza_b="clear", sars_cov_2="clear")
    decided = decide(bench.board, bench.look_act(all_clear), later(at("1:00"), span(WHEN[when])))

    assert isinstance(decided, Refusal)
    assert decided.code == "not-allowed"


@pytest.mark.parametrize("now", ["17:30", "22:30", "22:30.001", "900:00"])
def test_a_window_without_a_stated_limit_takes_a_reading_at_any_later_time(now: str) -> None:
    """The kit names no last instant, so none is invented against the person tested."""
    bench = Bench(replace(NASAL, reading=replace(NASAL.reading, closes=None)))
    bench.to_well(applied="2:30")
    bench.must(bench.read_act(NEGATIVE), now)

    assert bench.cartridge().outcome is Outcome.NEGATIVE


@pytest.mark.parametrize(
    "seen",
    [
        pytest.param(Bands(), id="nothing answered"),
        pytest.param(bands(control=True), id="test line left out"),
        pytest.param(bands(control=None, sars_cov_2="clear"), id="control line left out"),
        pytest.param(bands(influenza_a="clear"), id="a line the device has not"),
        pytest.param(bands(None, Unreadable.SMEAR, sars_cov_2="faint"), id="a smear and a line"),
    ],
)
def test_bands_that_are_not_whole_are_refused(seen: Bands) -> None:
    """Nothing is filled in, and the refusal names the letters that want an answer."""
    bench = Bench()
    bench.to_well(applied="2:30")

    for act, now in ((bench.look_act(seen), "4:30"), (bench.read_act(seen), "17:30")):
        refusal = bench.refused(act, now)
        assert (refusal.code, refusal.subject) == ("bad-bands", "T")


def test_time_is_told_before_the_bands() -> None:
    """Nonsense entered too early is too early: bands are asked for again in any case."""
    bench = Bench()
    bench.to_well(applied="2:30")

    assert bench.refused(bench.look_act(Bands()), "4:29.999").code == "too-early"
    assert bench.refused(bench.read_act(Bands()), "17:29.999").code == "too-early"


def test_an_unsure_clock_gives_no_outcome() -> None:
    """Nobody can say whether the window is open, so neither look nor reading is taken."""
    bench = Bench()
    found = bench.to_well(applied="2:30")
    bench.board = fold(bench.board, ClockUnsure(at=at("3:00"), cartridges=(found.id,)))

    for act, now in ((bench.look_act(CLEAR), "4:30"), (bench.read_act(CLEAR), "17:30")):
        refusal = bench.refused(act, now)
        assert (refusal.code, refusal.subject) == ("window-closed", "unsure")


def test_looks_and_reading_are_numbered_in_turn() -> None:
    """The record tells a first look from a second, and an early one from the window's."""
    bench = Bench()
    bench.to_well(applied="2:30")
    found = [
        *bench.must(bench.look_act(FAINT), "5:00"),
        *bench.must(bench.look_act(CLEAR), "6:00"),
        *bench.must(bench.read_act(CLEAR), "17:30"),
    ]

    told = [
        (each.ordinal, each.kind)
        for each in found
        if isinstance(each, EarlyPositiveSeen | CartridgeRead)
    ]
    assert told == [(1, ReadingKind.EARLY), (2, ReadingKind.EARLY), (3, ReadingKind.WINDOW)]


def test_an_early_positive_leaves_the_window_reading_to_be_done() -> None:
    """It is preliminary: the cartridge goes on developing and has no outcome yet."""
    bench = Bench()
    bench.to_well(applied="2:30")
    bench.must(bench.look_act(FAINT), "5:00")

    found = bench.cartridge()
    assert (found.stage, found.outcome) == (Stage.DEVELOPING, None)
    assert found.early_lines == ("sars-cov-2",)


@pytest.mark.parametrize(
    ("seen", "outcome"),
    [
        pytest.param(CLEAR, "positive", id="still there"),
        pytest.param(NEGATIVE, "withheld", id="gone"),
        pytest.param(NO_CONTROL, "withheld", id="no control line"),
        pytest.param(SMEAR, "withheld", id="unreadable"),
    ],
)
def test_a_contradicted_early_positive_is_withheld(seen: Bands, outcome: str) -> None:
    """Two looks at one strip disagree, and nobody may pick one."""
    bench = Bench()
    bench.to_well(applied="2:30")
    bench.must(bench.look_act(FAINT), "5:00")
    bench.must(bench.read_act(seen), "17:30")

    assert bench.cartridge().outcome is Outcome(outcome)


def test_a_refused_look_takes_no_early_positive_back() -> None:
    """A later look without the line is no second opinion; only the window decides."""
    bench = Bench()
    bench.to_well(applied="2:30")
    bench.must(bench.look_act(FAINT), "5:00")
    bench.refused(bench.look_act(NEGATIVE), "6:00")

    assert bench.cartridge().early_lines == ("sars-cov-2",)


@pytest.mark.parametrize(
    ("early", "outcome"),
    [pytest.param(False, "invalid", id="unread"), pytest.param(True, "positive", id="seen early")],
)
def test_an_unread_cartridge_lapses(early: bool, outcome: str) -> None:
    """Nobody read it: invalid and to be repeated, unless a valid positive was seen early."""
    bench = Bench()
    bench.to_well(applied="2:30")
    if early:
        bench.must(bench.look_act(FAINT), "5:00")
    event = lapse(bench.cartridge(), at("22:30.001"))
    bench.board = fold(bench.board, event)

    assert event.at == at("22:30.001")
    found = bench.cartridge()
    assert (found.stage, found.outcome) == (Stage.LAPSED, Outcome(outcome))
    assert [str(each.outcome) for each in found.outcomes] == [outcome]


def test_an_early_positive_keeps_what_was_seen_by_whom_and_on_what() -> None:
    """It can never be taken back, so nothing of it may be missing."""
    bench = Bench()
    bench.to_well(applied="2:30")
    act = bench.look_act(FAINT)
    sure = replace(act.aim, cartridge_by=How.SCANNED, person_by=How.TYPED)
    (event,) = bench.must(replace(act, aim=sure), "5:00")

    assert isinstance(event, EarlyPositiveSeen)
    assert (event.at, event.by, event.bands) == (at("5:00"), "key-op-1", FAINT)
    assert event.identified == Identified(cartridge=How.SCANNED, person=How.TYPED)


def test_a_reading_keeps_the_outcome_of_each_line_and_how_the_strip_was_made_sure_of() -> None:
    """The outcome of the whole cartridge alone cannot be told to anybody."""
    bench = Bench(THREE_LINES)
    bench.to_well(applied="2:30")
    seen = bands(influenza_a="absent", influenza_b="clear", sars_cov_2="absent")
    act = bench.read_act(seen)
    sure = replace(act.aim, cartridge_by=How.SCANNED, person_by=How.TYPED)
    (event,) = bench.must(replace(act, aim=sure), "17:30")

    assert isinstance(event, CartridgeRead)
    assert [(each.line, str(each.outcome)) for each in event.outcomes] == [
        ("influenza-a", "negative"),
        ("influenza-b", "positive"),
        ("sars-cov-2", "negative"),
    ]
    assert event.identified == Identified(cartridge=How.SCANNED, person=How.TYPED)


@pytest.mark.parametrize(
    ("act", "doubted", "now"),
    [
        pytest.param("look", True, "6:30", id="a look under a clock in doubt"),
        pytest.param("read", True, "17:30", id="a reading under a clock in doubt"),
        pytest.param("look", False, "17:30", id="a look inside the window"),
    ],
)
def test_a_refused_look_is_told_with_the_time_since_the_drops(
    act: str, doubted: bool, now: str
) -> None:
    """The near miss must show how far off it was."""
    bench = Bench()
    found = bench.to_well(applied="2:30")
    if doubted:
        bench.board = fold(bench.board, ClockUnsure(at=at("6:00"), cartridges=(found.id,)))
    tried = bench.look_act(CLEAR) if act == "look" else bench.read_act(CLEAR)

    assert bench.refused(tried, now).elapsed == span(now) - span("2:30")


def test_an_answer_that_is_not_whole_is_told_with_the_letters_on_the_device() -> None:
    """Letters run together would name a line that is not there."""
    bench = Bench(THREE_LINES)
    bench.to_well(applied="2:30")

    assert bench.refused(bench.read_act(Bands(control=True)), "17:30").subject == "A, B, T"
