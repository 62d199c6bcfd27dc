"""What a site may say of its result slips."""

from __future__ import annotations

from typing import TYPE_CHECKING, get_args

import pytest

from readbell.phrases.slip_words import WORDS
from readbell.settings.site_settings import read_settings
from readbell.settings.slip_table import SlipTable, SlipWord
from readbell.toml_tables import WrongFileError

if TYPE_CHECKING:
    from pathlib import Path


def test_each_word_of_a_slip_may_be_said_otherwise_and_no_other() -> None:
    """A word that could not be replaced would stand in English on a slip in another language."""
    assert set(get_args(SlipWord)) == set(WORDS)


def test_a_blank_line_begins_a_paragraph() -> None:
    """And a single line break is only where somebody's editor ended a line."""
    table = SlipTable(text="Hut 4\nis open.\n\n\nRing before.\n")

    assert table.paragraphs() == ("Hut 4 is open.", "Ring before.")


@pytest.mark.parametrize(
    ("text", "where"),
    [
        ('[slip]\nheading = "a\\u200bb"\n', "slip.heading"),
        ('[slip]\nlanguage = "German"\n', "slip.language"),
        ('[slip]\nfont = "a.ttf"\n', "slip.font"),
        ('[slip.words]\ntitel = "x"\n', "slip.words.titel"),
        ('[slip.words]\ntitle = " "\n', "slip.words.title"),
    ],
)
def test_each_slip_of_the_pen_is_one_sentence_with_its_place(
    tmp_path: Path, text: str, where: str
) -> None:
    """Whoever prints a hundred pages wants to know before the first."""
    file = tmp_path / "settings.toml"
    file.write_text(text, encoding="utf-8")

    with pytest.raises(WrongFileError, match=where):
        read_settings(file)
