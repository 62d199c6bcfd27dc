"""The bands that an entry reports: what it says, before what is shown."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

import pytest

from builders import NASAL, THREE_LINES, bands
from readbell.core.board.entry import Do, Entry, bands_of
from readbell.core.reading.bands import Bands, LineSeen, Strength, Unreadable, are_whole

if TYPE_CHECKING:
    from readbell.core.assay.assay import Assay

SHOWN = bands(sars_cov_2="faint")


def reported(assay: Assay | None = NASAL, shown: Bands = SHOWN, **written: Any) -> Bands:
    """The bands that an entry with these words reports."""
    return bands_of(Entry(do=Do.READ, by="op-1", cartridge="C1", **written), assay, shown)


def test_what_an_entry_leaves_out_is_as_it_is_shown() -> None:
    """In a rehearsal the virtual cartridge shows it; at a real bench nothing is shown."""
    assert reported() == SHOWN
    assert reported(shown=Bands()) == Bands()


@pytest.mark.parametrize(
    ("written", "expected"),
    [
        pytest.param({"control": False}, bands(control=False, sars_cov_2="faint"), id="control"),
        pytest.param({"test": Strength.ABSENT}, bands(sars_cov_2="absent"), id="test line"),
        pytest.param(
            {"control": False, "test": Strength.CLEAR},
            bands(control=False, sars_cov_2="clear"),
            id="both",
        ),
        pytest.param(
            {"test": (("sars-cov-2", Strength.CLEAR),)}, bands(sars_cov_2="clear"), id="by key"
        ),
        pytest.param({"test": (("T", Strength.CLEAR),)}, bands(sars_cov_2="clear"), id="by letter"),
    ],
)
def test_what_an_entry_says_goes_before_what_is_shown(
    written: dict[str, Any], expected: Bands
) -> None:
    """The eye of the operator decides, right or wrong."""
    assert reported(**written) == expected


@pytest.mark.parametrize(
    "assay", [pytest.param(THREE_LINES, id="three lines"), pytest.param(None, id="unknown assay")]
)
def test_one_answer_for_several_lines_answers_none(assay: Assay | None) -> None:
    """There is no "all negative": each line is looked at and answered for."""
    found = reported(assay, Bands(), control=True, test=Strength.ABSENT)

    assert found.lines == (LineSeen(line="", strength=Strength.ABSENT),)
    assert not are_whole(found, THREE_LINES.line_keys)


def test_several_lines_are_called_by_key_or_letter() -> None:
    """Whichever the operator writes, the record holds the keys."""
    found = reported(
        THREE_LINES,
        Bands(),
        control=True,
        test=(
            ("A", Strength.FAINT),
            ("influenza-b", Strength.ABSENT),
            ("T", Strength.CLEAR),
        ),
    )

    assert found == bands(influenza_a="faint", influenza_b="absent", sars_cov_2="clear")


@pytest.mark.parametrize(
    "assay", [pytest.param(NASAL, id="one line"), pytest.param(None, id="unknown assay")]
)
def test_a_name_no_line_has_is_kept_as_it_was_written(assay: Assay | None) -> None:
    """It is refused as it stands, and not taken for a line that was never answered."""
    found = reported(assay, test=(("X", Strength.CLEAR),))

    assert found.lines == (LineSeen(line="X", strength=Strength.CLEAR),)


@pytest.mark.parametrize(
    ("written", "is_whole"),
    [
        pytest.param({}, True, id="the reason alone"),
        pytest.param({"control": True}, False, id="and a control line"),
        pytest.param({"test": Strength.ABSENT}, False, id="and a test line"),
    ],
)
def test_an_unreadable_strip_takes_nothing_from_what_is_shown(
    written: dict[str, Any], is_whole: bool
) -> None:
    """A smear hides the lines; whoever answers for one beside it contradicts himself."""
    found = reported(unreadable=Unreadable.SMEAR, **written)

    assert found.unreadable is Unreadable.SMEAR
    assert are_whole(found, NASAL.line_keys) is is_whole
