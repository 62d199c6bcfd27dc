"""Where assays are found: a site's own file goes before the bundled one of the same name."""

from __future__ import annotations

from typing import TYPE_CHECKING

import pytest

from builders import NASAL
from readbell.assays.library import BUNDLED, Library
from readbell.toml_tables import WrongFileError

if TYPE_CHECKING:
    from pathlib import Path

    from assays.conftest import Writing


def test_a_bundled_assay_is_found_by_its_id() -> None:
    """A scenario need not know where the program is installed."""
    assert Library().find("respiratory-antigen-nasal") == NASAL


def test_a_sites_own_file_goes_before_the_bundled_one(write_assay: Writing, tmp_path: Path) -> None:
    """The kit in the site's cupboard decides, not the typical one."""
    write_assay(('closes = "20:00"', 'closes = "30:00"'), name="respiratory-antigen-nasal.toml")
    found = Library(folders=(tmp_path,)).find("respiratory-antigen-nasal")

    assert found.reading.closes == 30 * 60_000


def test_a_path_is_taken_relative_to_the_file_that_names_it(
    write_assay: Writing, tmp_path: Path
) -> None:
    """A folder with a scenario and its assay can be moved as one."""
    write_assay(('title = "R', 'title = "Own r'))

    assert Library().find("own.toml", beside=tmp_path).title.startswith("Own")


def test_an_unknown_id_is_refused_with_the_known_ones() -> None:
    """Most unknown names are slips of known ones."""
    with pytest.raises(WrongFileError) as refused:
        Library().find("respiratory-antigen-nassal")

    assert str(refused.value) == (
        "assay 'respiratory-antigen-nassal' is not known: name one of hcg-urine, malaria-blood, "
        "respiratory-antigen-nasal, respiratory-antigen-three-lines, streptococcus-a-throat, "
        "or a path to a .toml file"
    )


@pytest.mark.parametrize(
    "reference",
    [
        pytest.param("../assays/respiratory-antigen-nasal", id="a way round"),
        pytest.param("", id="nothing"),
        pytest.param(".", id="a dot"),
        pytest.param("nasal\0", id="a null byte"),
        pytest.param("x" * 300, id="far too long"),
    ],
)
def test_an_id_that_is_no_plain_name_finds_nothing(reference: str) -> None:
    """Ids come from lines that anybody can type; none may wander about the disk or crash."""
    with pytest.raises(WrongFileError, match="is not known: name one of"):
        Library().find(reference)


@pytest.mark.parametrize(
    "reference",
    [
        pytest.param("nowhere.toml", id="not there"),
        pytest.param("nasal\0.toml", id="a null byte"),
        pytest.param("x" * 300 + ".toml", id="far too long"),
    ],
)
def test_a_path_that_cannot_be_opened_is_refused_in_one_sentence(
    reference: str, tmp_path: Path
) -> None:
    """Whatever was typed, the answer is a sentence and never a crash."""
    with pytest.raises(WrongFileError, match="check the name"):
        Library().find(reference, beside=tmp_path)


def test_own_files_are_listed_before_the_bundled_ones(write_assay: Writing, tmp_path: Path) -> None:
    """What the site will use stands first."""
    own = write_assay()

    assert list(Library(folders=(tmp_path,)).files()) == [own, *sorted(BUNDLED.glob("*.toml"))]


def test_a_folder_that_is_not_there_holds_nothing(tmp_path: Path) -> None:
    """Most sites have no assays of their own."""
    library = Library(folders=(tmp_path / "none",))

    assert list(library.files()) == sorted(BUNDLED.glob("*.toml"))


def test_a_sites_own_assay_is_found_whatever_its_file_is_called(
    write_assay: Writing, tmp_path: Path
) -> None:
    """The id is what adoption and lots name; the bundled one must not slip in instead."""
    write_assay(('closes = "20:00"', 'closes = "30:00"'), name="our-kit.toml")

    found = Library(folders=(tmp_path,)).find("respiratory-antigen-nasal")

    assert found.reading.closes == 30 * 60_000


def test_two_files_with_one_id_are_refused(write_assay: Writing, tmp_path: Path) -> None:
    """Nobody could say which of them a patient was timed by."""
    write_assay(name="a.toml")
    write_assay(name="b.toml")

    with pytest.raises(WrongFileError, match="both have the id"):
        Library(folders=(tmp_path,)).find("respiratory-antigen-nasal")


def test_a_file_that_is_no_toml_hides_no_other(write_assay: Writing, tmp_path: Path) -> None:
    """A half-written file beside it must not cost a site its assay."""
    write_assay(name="b.toml")
    (tmp_path / "a.toml").write_text("id =", encoding="utf-8")

    assert Library(folders=(tmp_path,)).find("respiratory-antigen-nasal") == NASAL
