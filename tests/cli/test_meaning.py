"""`readbell meaning`: what a positive and a negative mean, with where the figures come from."""

from __future__ import annotations

import json
from typing import TYPE_CHECKING

import pypdf
import pytest
import resvg_py
from PIL import Image

from readbell.settings.places import settings_file

if TYPE_CHECKING:
    from pathlib import Path

    from cli.conftest import Command

STUDY = ("--sensitivity", "72/100", "--specificity", "995/1000", "--source", "A made-up study")
FIVE = ("meaning", "--prevalence", "5%", *STUDY)


def test_a_thousand_people_are_drawn_and_counted(command: Command) -> None:
    """Computed: 36 found, 5 wrongly suspected, 14 missed."""
    done = command(*FIVE, "--ascii")

    assert done.status == 0
    rows = [line.strip() for line in done.out.splitlines() if set(line.strip()) <= set("#%O.")]
    drawn = "".join(rows)
    assert (drawn.count("#"), drawn.count("%"), drawn.count("O")) == (36, 5, 14)
    assert len(drawn) == 1_000
    assert max(len(line) for line in done.out.splitlines()) <= 79


def test_the_answer_names_its_study_its_doubt_and_what_it_is_not(command: Command) -> None:
    """It advises a professional; own positivity is no prevalence."""
    said = " ".join(command(*FIVE).out.split())

    for words in (
        "A made-up study",
        "72 of 100, 72.0 % (62.5 % to 79.9 %)",
        "A positive is right in 88.3 % (75.8 % to 94.8 %)",
        "diagnoses nobody",
        "how many came out positive at this bay is none",
        "A negative does not exclude infection",
    ):
        assert words in said


def test_the_answer_as_json_has_each_figure_with_its_interval(command: Command) -> None:
    """For whoever goes on with it."""
    found = json.loads(command(*FIVE, "--json").out)

    assert found["positive_right"]["value"] == pytest.approx(0.8834, abs=5e-5)
    assert found["positive_right"]["low"] < 0.8834 < found["positive_right"]["high"]
    assert found["per_thousand"] == {
        "true_positive": 36,
        "false_negative": 14,
        "false_positive": 5,
        "true_negative": 945,
    }
    assert found["source"] == "A made-up study"


def test_the_counts_of_an_assay_come_from_the_sites_own_settings(command: Command) -> None:
    """With the source that the site names."""
    file = settings_file()
    file.parent.mkdir(parents=True, exist_ok=True)
    file.write_text(
        '[[performance]]\nassay = "hcg-urine"\nsource = "A made-up study"\n'
        'sensitivity = "72/100"\nspecificity = "995/1000"\n'
    )
    done = command("meaning", "--prevalence", "1/20", "--assay", "hcg-urine")

    assert done.status == 0
    assert "36 have it and come out positive" in done.out
    assert done.out.splitlines()[0] != "hcg-urine", "it is called by its title"


def test_an_assay_that_is_not_at_hand_is_called_by_its_id(command: Command) -> None:
    """The counts were given."""
    done = command(*FIVE, "--assay", "another-one")

    assert done.out.splitlines()[0] == "another-one"


@pytest.mark.parametrize("kind", ["svg", "pdf", "png"])
def test_the_thousand_people_as_a_picture(command: Command, tmp_path: Path, kind: str) -> None:
    """Four shapes, told apart without colours, with what they mean beside them."""
    file = tmp_path / f"people.{kind}"
    assert command(*FIVE, "--picture", str(file)).status == 0

    if kind == "png":
        with Image.open(file) as picture:
            assert picture.size == (1440, 1040)
            assert len(picture.convert("L").getcolors() or ()) > 2, "something is drawn"
        return
    if kind == "svg":
        text = file.read_text("utf-8")
        assert len(resvg_py.svg_to_bytes(svg_string=text)) > 1_000
    else:
        text = pypdf.PdfReader(file).pages[0].extract_text()
    for words in ("36 have it and come out positive", "945 have it not and come out negative"):
        assert words in text


@pytest.mark.parametrize(
    ("options", "why"),
    [
        (("--prevalence", "often", *STUDY), "--prevalence often: write a share"),
        (("--prevalence", "1/0", *STUDY), "--prevalence 1/0: write a share"),
        (("--prevalence", f"1{'0' * 400}/1", *STUDY), "write a share"),
        (("--prevalence", "nan", *STUDY), "at none or at everybody"),
        (("--prevalence", "0", *STUDY), "at none or at everybody"),
        (("--prevalence", "100%", *STUDY), "at none or at everybody"),
        (("--prevalence", "5%"), "give --assay, or --sensitivity"),
        (("--prevalence", "5%", "--assay", "x"), "settings.toml has no [[performance]] of it"),
        (("--prevalence", "5%", *STUDY[:4]), "go together: give all three"),
        (("--prevalence", "5%", *STUDY[:5], " "), "go together: give all three"),
        (
            ("--prevalence", "5%", "--sensitivity", "0.99", *STUDY[2:]),
            "--sensitivity: write the counts of a study",
        ),
        (
            ("--prevalence", "5%", *STUDY[:2], "--specificity", "3/2", *STUDY[4:]),
            "--specificity: write so many of so many",
        ),
        (("--prevalence", "5%", *STUDY, "--picture", "people.bmp"), "ends in .svg, .pdf or .png"),
        (("--prevalence", "5%", *STUDY, "--picture", "nowhere/people.svg"), "check the name"),
    ],
)
def test_what_cannot_be_answered_is_told_in_one_sentence(
    command: Command, options: tuple[str, ...], why: str
) -> None:
    """What, where, and what to do; nothing is guessed."""
    done = command("meaning", *options)

    assert done.status == 2
    assert why in done.err
    assert len(done.err.splitlines()) == 1
    assert done.out == ""


@pytest.mark.parametrize("rare", ["1e-320", "5e-324"])
def test_what_next_to_nobody_has_is_answered_too(command: Command, rare: str) -> None:
    """A positive is then a false one, and a negative is right."""
    found = json.loads(command("meaning", "--prevalence", rare, *STUDY, "--json").out)

    assert found["positive_right"]["value"] == pytest.approx(0.0)
    assert found["negative_right"]["value"] == pytest.approx(1.0)


def test_what_was_given_moves_nothing_on_the_screen(command: Command) -> None:
    """A source is somebody's text, and may hold anything."""
    done = command(*FIVE[:-1], "a study\x1b[2J", "--assay", "x\x1b[2J")

    assert done.status == 0
    assert "\x1b" not in done.out


def test_a_perfect_share_is_no_input(command: Command) -> None:
    """A maker's hundred per cent is taken as the counts behind it, with their doubt."""
    whole = ("--sensitivity", "30/30", "--specificity", "30/30", "--source", "A made-up study")
    said = command("meaning", "--prevalence", "5%", *whole).out

    assert "30 of 30, 100.0 % (88.6 % to 100.0 %)" in said
    assert "A positive is right in 100.0 % (" in said
