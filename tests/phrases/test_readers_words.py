"""How two readers of one strip agree, in words: all together, and pair by pair."""

from __future__ import annotations

from typing import TYPE_CHECKING

from readbell.core.figures.readers import Twice, readers_of
from readbell.core.reading.interpretation import Outcome
from readbell.phrases import readers_words as words

if TYPE_CHECKING:
    from readbell.core.figures.view import By

POSITIVE, NEGATIVE = Outcome.POSITIVE, Outcome.NEGATIVE
STRIPS = {
    Twice(POSITIVE, POSITIVE, False, "k-1", "k-2"): 12,
    Twice(NEGATIVE, NEGATIVE, False, "k-2", "k-1"): 10,
    Twice(POSITIVE, NEGATIVE, True, "k-1", "k-3"): 2,
}


def name(_by: By, key: str) -> str:
    """What the made-up readers are called."""
    return key.replace("k", "op")


def test_readers_who_never_part_and_who_never_see_a_positive() -> None:
    """What cannot be said is left out."""
    found = readers_of({Twice(NEGATIVE, NEGATIVE, faint=False): 3})
    assert found is not None

    assert words.readers_row("nasal", found) == (
        "nasal",
        "3",
        "100.0 (43.9 to 100.0)",
        "-",
        "-",
        "100.0 (61.0 to 100.0)",
        "0 of 0",
    )
    assert words.say_parted("nasal", found) == "nasal: first and second reader parted nowhere."


def test_each_pair_has_a_row_and_one_with_few_strips_is_marked() -> None:
    """Who read with whom, in how many strips, and how far they agree."""
    enough, few = words.pair_rows("nasal", STRIPS, name)

    assert enough[:2] == ("op-1 and op-2, nasal", "22")
    assert enough[3].startswith("1.00 (")
    assert few[:2] == ("op-1 and op-3, nasal", "2*")
    assert few[3] == "-"
    assert few[-1] == "0 of 2"


def test_the_tables_of_text_hold_all_and_say_what_few_means() -> None:
    """And nothing of marks where there are none."""
    lines = list(words.say_readers({"nasal": STRIPS}, name, 120))

    assert lines[0].startswith("assay")
    assert "parted positive then negative 2." in lines[2]
    assert lines[3].startswith("pair")
    assert lines[-1] == words.PAIRS_NOTE
    plain = {each: count for each, count in STRIPS.items() if count > 2}
    assert words.PAIRS_NOTE not in list(words.say_readers({"nasal": plain}, name, 120))


def test_what_was_taken_off_again_is_no_row() -> None:
    """A count of nothing says nothing."""
    gone = dict.fromkeys(STRIPS, 0)

    assert [each[:5] for each in words.say_readers({"nasal": gone}, name, 120)] == [
        "assay",
        "pair ",
    ]
