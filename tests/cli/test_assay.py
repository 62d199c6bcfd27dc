"""`assay`: what is at hand, and what is wrong with a file."""

from __future__ import annotations

import json
from dataclasses import replace
from typing import TYPE_CHECKING

import pytest

from readbell.assays.content_hash import content_hash
from readbell.assays.library import BUNDLED, Library

if TYPE_CHECKING:
    from pathlib import Path

    from cli.conftest import Command

NASAL_FILE = BUNDLED / "respiratory-antigen-nasal.toml"


def test_every_assay_at_hand_is_listed(command: Command) -> None:
    """With every figure that is held against the kit's instructions, and where they come from."""
    done = command("assay")

    assert (done.status, done.err) == (0, "")
    assert "respiratory-antigen-nasal\n  Respiratory antigen, nasal swab\n" in done.out
    assert "  Buffer into the tube: Let 8 drops of buffer fall into the tube" in done.out
    assert "  Swab into the buffer: in buffer at least 1:00, at most 3:00 (advisory).\n" in done.out
    assert "  Read 15:00 to 20:00 after the drops; early look from 2:00.\n" in done.out
    lines = "A Influenza A antigen, B Influenza B antigen, T SARS-CoV-2 antigen"
    assert f"  Lines: C control, {lines}.\n" in done.out
    assert done.out.count("Where they come from: typical; check your kit's instructions") == 5


def test_json_gives_the_figures_in_seconds(command: Command) -> None:
    """With the fingerprint by which an adoption names the assay."""
    found = json.loads(command("assay", "--json").out)

    nasal = next(each for each in found if each["id"] == "respiratory-antigen-nasal")
    assert (nasal["early_from_s"], nasal["opens_s"], nasal["closes_s"]) == (120.0, 900.0, 1200.0)
    assert nasal["content_hash"] == content_hash(Library().find("respiratory-antigen-nasal"))
    assert nasal["steps"][0] == "label"
    assert nasal["steps"][-1] == "apply"


def test_one_file_can_be_checked(command: Command) -> None:
    """A sound file is shown as it was understood."""
    done = command("assay", NASAL_FILE)

    assert done.status == 0
    assert done.out.startswith("respiratory-antigen-nasal\n")
    assert "three-lines" not in done.out


def test_a_window_without_an_end_is_called_so(command: Command, tmp_path: Path) -> None:
    """What the kit does not state is not made up."""
    path = tmp_path / "own.toml"
    text = NASAL_FILE.read_text(encoding="utf-8")
    path.write_text(
        text.replace('closes = "20:00"', 'closes = "no stated limit"').replace(
            'closing_warning = "2:00"\n', ""
        ),
        encoding="utf-8",
    )
    plain, as_json = command("assay", path), command("assay", path, "--json")

    assert "Read 15:00 to no stated limit after the drops" in plain.out
    assert json.loads(as_json.out)[0]["closes_s"] is None


def test_every_fault_of_a_file_is_told(command: Command, tmp_path: Path) -> None:
    """One sentence a line, so that all can be mended in one go."""
    path = tmp_path / "own.toml"
    text = NASAL_FILE.read_text(encoding="utf-8")
    path.write_text(
        text.replace('closes = "20:00"', 'closes = "10:00"').replace("[2, 30]", "[30, 2]"),
        encoding="utf-8",
    )
    done = command("assay", path)

    assert (done.status, done.out) == (2, "")
    assert f"{path}: reading.closes = 10:00: set it later than reading.opens, 15:00\n" in done.err
    assert f"{path}: temperature.storage = [30, 2]: " in done.err


def test_a_sites_own_assay_is_listed_too(command: Command, quick_assay: str) -> None:
    """Before the bundled ones: it is the one that is used."""
    assert command("assay").out.startswith(f"{quick_assay}\n")


def test_one_wrong_file_of_the_site_hides_no_other(
    command: Command, quick_assay: str, tmp_path: Path
) -> None:
    """The fault is told, and everything else is listed as ever."""
    folder = tmp_path / "CONFIG" / "readbell" / "assays"
    (folder / "broken.toml").write_text("format = 2")
    done = command("assay")

    assert done.status == 2
    assert "broken.toml: " in done.err
    assert quick_assay in done.out
    assert "respiratory-antigen-nasal" in done.out


def test_an_assay_is_shown_by_its_id_too(command: Command) -> None:
    """It is how the list calls it; its file lies where nobody but a programmer looks."""
    shown = command("assay", "streptococcus-a-throat")

    assert shown.out.startswith("streptococcus-a-throat\n")
    assert shown.out.count("Where they come from") == 1
    unknown = command("assay", "influenza")
    assert (unknown.status, unknown.out) == (2, "")
    assert "assay 'influenza' is not known: name one of" in unknown.err


def test_an_assay_whose_figures_differ_is_copied_to_be_changed(
    command: Command, tmp_path: Path
) -> None:
    """Few kits agree with typical figures to the last drop, and a site can run none that does not."""
    done = command("assay", "respiratory-antigen-nasal", "--copy", "our-kit")
    own = tmp_path / "CONFIG" / "readbell" / "assays" / "our-kit.toml"

    assert done.status == 0, done.err
    assert done.out == (
        f"{own}: a copy of respiratory-antigen-nasal, called our-kit. Change its title and what "
        "differs from your kit's instructions, check it with 'readbell assay our-kit', and adopt it "
        "then.\n"
    )
    copied = Library(folders=(own.parent,)).find("our-kit")
    assert replace(copied, id="respiratory-antigen-nasal") == Library().find(
        "respiratory-antigen-nasal"
    )
    assert command("assay").out.startswith("our-kit\n")
    assert "[basis]" in own.read_text(encoding="utf-8")


def test_a_copy_takes_the_place_of_no_other_file(command: Command, tmp_path: Path) -> None:
    """What a site changed in its own assay must not go by a second copy."""
    command("assay", NASAL_FILE, "--copy", "our-kit")
    own = tmp_path / "CONFIG" / "readbell" / "assays" / "our-kit.toml"
    own.write_text("theirs", encoding="utf-8")
    again = command("assay", NASAL_FILE, "--copy", "our-kit")

    assert (again.status, again.out) == (2, "")
    assert again.err == f"{own}: something stands there already: say another id\n"
    assert own.read_text(encoding="utf-8") == "theirs"


@pytest.mark.parametrize(
    ("given", "words"),
    [
        (("respiratory-antigen-nasal", "--copy", "Our Kit"), "--copy: 'Our Kit' is no id"),
        (("respiratory-antigen-nasal", "--copy", "../up"), "--copy: '../up' is no id"),
        (
            ("respiratory-antigen-nasal", "--copy", "hcg-urine"),
            "--copy: an assay at hand is called hcg-urine already: say another id",
        ),
        (("--copy", "our-kit"), "--copy: say which assay is to be copied, by its id or its file"),
    ],
)
def test_what_cannot_be_copied_is_said_in_one_sentence(
    command: Command, given: tuple[str, ...], words: str
) -> None:
    """And no file is made."""
    done = command("assay", *given)

    assert (done.status, done.out) == (2, "")
    assert done.err.startswith(words)
    assert "our-kit" not in command("assay").out
