"""The reading rules agree with public guidance on rapid tests.

Each row names its source. The kit's own instructions for use come first in any case.
"""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

import pytest

from rehearsal.story import Story, cartridge, last_refusal

if TYPE_CHECKING:
    from pathlib import Path


@pytest.mark.parametrize(
    ("seen", "outcome"),
    [
        # A public job aid for malaria, "How to do the rapid test for malaria":
        # positive even if the line is faint.
        pytest.param({"test": "faint"}, "positive", id="malaria job aid: a faint line is positive"),
        # Can J Infect Dis Med Microbiol 2019, 5763595, legend of fig. 1; Malaria Journal
        # 2011;10:39, legend of fig. 9: invalid without any band, and with the test band alone.
        pytest.param(
            {"control": False, "test": "absent"}, "invalid", id="two papers: no band at all"
        ),
        pytest.param(
            {"control": False, "test": "clear"}, "invalid", id="two papers: the test band alone"
        ),
        pytest.param({"test": "absent"}, "negative", id="two papers: the control band alone"),
    ],
)
def test_bands_mean_what_published_guidance_says(
    seen: dict[str, Any], outcome: str, tmp_path: Path
) -> None:
    """A rule of our own that differed from these would harm somebody."""
    report = Story().on_the_well().read("18:00", **seen).play(tmp_path)

    assert cartridge(report)["outcome"] == outcome


# WHO, SARS-CoV-2 Ag-RDT online course v1.0, module 4: "Invalid results require the collection of
# an additional sample". Ministry of Health of Ethiopia, blended learning, malaria, table 7.2:
# discard the cassette, open a new one, repeat.
def test_an_invalid_result_needs_another_sample(tmp_path: Path) -> None:
    """The second cartridge is a fresh one, linked to the first, and both stay on the record."""
    story = Story().on_the_well().read("18:00", control=False)

    report = story.on_the_well("C2", applied="22:00").read("38:00", "C2").play(tmp_path)

    assert cartridge(report, "C1")["outcome"] == "invalid"
    assert cartridge(report, "C2")["repeat_of"] == "C1"
    assert cartridge(report, "C2")["outcome"] == "negative"


# A procedure page for a urine hCG cassette gives the reason for its last minute: a weak line may
# come very late.
@pytest.mark.parametrize("seen", ["absent", "faint", "clear"])
def test_a_line_seen_late_is_never_a_result(seen: str, tmp_path: Path) -> None:
    """Whatever the strip shows after its window, the cartridge ends invalid."""
    report = Story().on_the_well().read("22:00.001", test=seen).play(tmp_path)

    assert last_refusal(report) == "window-closed"
    assert cartridge(report)["outcome"] == "invalid"


# A public job aid for a malaria test writes the name on the test (its step 4) before the finger is
# pricked (its step 6).
def test_no_specimen_is_taken_before_the_cartridge_is_labelled(tmp_path: Path) -> None:
    """A specimen without a name may become anybody's."""
    report = Story().step("00:00", "collect").play(tmp_path)

    assert last_refusal(report) == "unknown-cartridge"
