"""Whatever is asked of a bay can be kept and asked again, or a replay would be another story."""

from __future__ import annotations

import json
from datetime import date

import pytest

from readbell.core.board.entry import Do, Entry
from readbell.core.cartridge.events import How, SlipReason
from readbell.core.instant import Instant, Span
from readbell.core.reading.bands import Strength, Unreadable
from readbell.scenarios.kept_line import asked_by, kept_line
from readbell.scenarios.line import EntryLine, HearLine, MuteLine, Question, read_line
from readbell.scenarios.paper_lines import PaperRunLine
from readbell.scenarios.staff_lines import PinLine, SignInLine
from readbell.toml_tables import WrongFileError
from torture.line_kinds import Kind, every_kind


@pytest.mark.parametrize("kind", every_kind(), ids=lambda kind: kind.do)
def test_every_line_that_a_bay_takes_can_be_kept(kind: Kind) -> None:
    """A new kind is tried by itself."""
    try:
        line = read_line(json.dumps(kind.example("fresh")))
    except WrongFileError:
        pytest.skip("the example of this kind is none that a bay takes")
    if isinstance(line, Question):
        return
    kept = kept_line(line)
    if isinstance(line, PinLine):
        assert kept is None
        return
    assert kept is not None
    assert asked_by(kept) == line


def test_an_entry_keeps_how_each_thing_was_made_sure_of() -> None:
    """A line has no key for it, and a score tells a scan from a row that was picked."""
    entry = Entry(
        do=Do.READ,
        by="op-1",
        cartridge="C01",
        scanned="C01",
        person="P-001",
        person_by=How.SCANNED,
        cartridge_by=How.PICKED,
        second="Ada Vale",
        second_by=How.TYPED,
        control=True,
        test=(("antigen", Strength.FAINT),),
        slip=SlipReason.PRESSED_WRONG_KEY,
    )
    line = EntryLine(entry=entry, ago=None)

    assert asked_by(kept_line(line) or "") == line


@pytest.mark.parametrize(
    "entry",
    [
        Entry(do=Do.READ, by="op-1", cartridge="C01", unreadable=Unreadable.SMEAR),
        Entry(do=Do.STEPS, by="op-1", cartridge="C01", steps=("buffer", "collect")),
        Entry(do=Do.STEP, by="op-1", cartridge="C01", step="apply", done_at=Instant(5)),
        Entry(do=Do.READ, by="op-1", cartridge="C01", test=Strength.ABSENT, control=False),
        Entry(do=Do.CORRECT_LOT, by="op-1", lot="L-1", expires=date(2026, 3, 1), is_past=True),
        Entry(do=Do.CORRECT_LOT, by="op-1", lot="L-1", right_assay="strep"),
    ],
)
def test_every_field_of_an_entry_comes_back(entry: Entry) -> None:
    """One that did not would be another act."""
    line = EntryLine(entry=entry, ago=Span(90_000))

    assert asked_by(kept_line(line) or "") == line


def test_times_come_back_to_the_millisecond() -> None:
    """A mute of four minutes is one of four minutes."""
    line = MuteLine.model_validate(
        {"do": "mute", "by": "op-1", "reason": "other", "for": "4:00.250"}
    )

    assert asked_by(kept_line(line) or "") == line


def test_a_run_on_paper_comes_back_with_all_its_times() -> None:
    """Whoever practises may enter one too."""
    line = PaperRunLine.model_validate(
        {
            "do": "enter-paper",
            "by": "op-1",
            "operator": "op-1",
            "witness": "op-2",
            "cartridge": "C09",
            "person": "P-001",
            "lot": "L-3101",
            "steps": {"collect": "2026-03-29T10:02", "apply": "2026-03-29T10:05:30"},
            "read": "2026-03-29T10:21",
            "control": True,
            "test": {"antigen": "faint"},
        }
    )

    assert asked_by(kept_line(line) or "") == line


def test_no_pin_is_ever_kept() -> None:
    """It would lie in plain in a journal."""
    line = SignInLine.model_validate({"do": "sign-in", "by": "op-1", "pin": "7319"})
    kept = kept_line(line)

    assert kept is not None
    assert "7319" not in kept
    assert asked_by(kept) == SignInLine(do="sign-in", by="op-1")


@pytest.mark.parametrize(
    "text", ["", "7", "{", '{"entry": 3}', '{"do": "board"}', '{"entry": {"do": "read"}}']
)
def test_what_was_never_kept_is_refused(text: str) -> None:
    """A journal may be anything."""
    with pytest.raises(WrongFileError):
        asked_by(text)


def test_a_line_without_anything_left_out_is_written_as_it_would_be_given() -> None:
    """Somebody may read it."""
    assert kept_line(HearLine(do="hear-alert", by="op-1", cartridge="C01")) == (
        '{"by": "op-1", "cartridge": "C01", "do": "hear-alert"}'
    )
