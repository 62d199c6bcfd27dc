"""The `[slip]` table of settings.toml: what a site says of its result slips."""

from __future__ import annotations

from typing import Annotated, Literal

from pydantic import AfterValidator, Field, StringConstraints

from readbell.toml_tables import Table

SlipWord = Literal[
    "title",
    "patient_id",
    "name",
    "born",
    "positive",
    "negative",
    "invalid",
    "repeat",
    "no_result",
    "preliminary",
    "amended",
    "withdrawn",
    "on_paper",
    "first_read",
    "specimen",
    "taken",
    "applied",
    "read",
    "seen_early",
    "not_read",
    "stated",
    "read_by",
    "lot",
    "cartridge",
    "made",
    "not_counted",
    "means",
    "means_positive",
    "means_negative",
    "means_repeat",
    "means_refer",
    "means_preliminary",
    "means_amended",
    "means_withdrawn",
    "cautions",
    "caution_rapid",
    "caution_rules",
    "for_guardian",
    "for_other",
    "rehearsal",
    "page",
]
"""What may be said in a site's own words; the same names as those of the words themselves."""


def _as_seen(found: str) -> str:
    if not found.replace("\n", " ").isprintable():
        msg = "it has signs that cannot be seen: write it without them"
        raise ValueError(msg)
    return found


Line = Annotated[
    str,
    StringConstraints(strip_whitespace=True, max_length=400),
    AfterValidator(_as_seen),
]
Word = Annotated[
    str,
    StringConstraints(strip_whitespace=True, min_length=1, max_length=600),
    AfterValidator(_as_seen),
]
Text = Annotated[
    str, StringConstraints(strip_whitespace=True, max_length=3_000), AfterValidator(_as_seen)
]


class SlipTable(Table):
    """Every key may be left out."""

    heading: Line = ""
    """Who hands slips out; left out: the name of the bay."""
    folder: Line = ""
    """Where the slip goes that is noted as handed over at the board; left out: none is made."""
    text: Text = ""
    """The site's own, below all else; a blank line begins a new paragraph."""
    footer: Line = ""
    language: Annotated[str, StringConstraints(pattern=r"^[A-Za-z]{2,3}(-[A-Za-z0-9]{2,8})*$")] = (
        "en"
    )
    """Of the words below, as BCP 47 names it: who reads aloud has to know."""
    words: dict[SlipWord, Word] = Field(default_factory=dict)

    def paragraphs(self) -> tuple[str, ...]:
        """Return the site's own text, a paragraph each."""
        found = (" ".join(each.split()) for each in self.text.split("\n\n"))
        return tuple(each for each in found if each)
