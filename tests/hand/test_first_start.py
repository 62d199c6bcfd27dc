"""The first start: few questions, each answer held against what it must be, and a bay that can work."""

from __future__ import annotations

from datetime import date

import pytest

from builders import NASAL, THREE_LINES
from readbell.hand.first_start import FirstQuestion, first_questions, first_requests
from readbell.hand.scene import AtHand
from readbell.scenarios.line import AdoptionLine, LotLine, OpenLotLine, OperatorLine

SHELF = tuple(AtHand(id=each.id, title=each.title) for each in (NASAL, THREE_LINES))
TODAY = date(2026, 3, 29)
QUESTIONS: dict[str, FirstQuestion] = {
    each.key: each
    for each in first_questions(SHELF, "Europe/London", TODAY, lambda zone: zone == "Europe/London")
}
SAID = {
    "bay": "Harrow Quay",
    "zone": "Europe/London",
    "operator": "op-1",
    "assay": "2",
    "instructions": "v3",
    "checked": "yes",
    "lot": "L-100",
    "expires": "2027-12-31",
    "units": "40",
}


def test_there_are_nine_questions_and_their_usual_answers_are_right() -> None:
    """Under three minutes, and Enter is never a trap."""
    assert list(QUESTIONS) == list(SAID)
    for each in QUESTIONS.values():
        assert each.accepts(SAID[each.key]) is None
        assert not each.usual or each.accepts(each.usual) is None


def test_the_assays_at_hand_are_listed_by_number() -> None:
    """A number is typed with gloves on."""
    asks = QUESTIONS["assay"].asks
    assert f"1  {NASAL.title}  ({NASAL.id})" in asks
    assert f"2  {THREE_LINES.title}" in asks


@pytest.mark.parametrize(
    ("key", "text", "words"),
    [
        ("bay", "", "Something has to be typed"),
        ("bay", "x" * 121, "Use up to 120 letters"),
        ("operator", "op\x07", "no control signs"),
        ("zone", "Somewhere", "is no time zone"),
        ("assay", "3", "Type a number from 1 to 2"),
        ("assay", "0", "Type a number from 1 to 2"),
        ("assay", "²", "is not on the list"),
        ("checked", "perhaps", "Type yes or no."),
        ("expires", "soon", "is no day"),
        ("expires", "2026-03-28", "is past"),
        ("units", "0", "is no number of units"),
        ("units", "100000", "is no number of units"),
        ("units", "some", "is no number of units"),
    ],
)
def test_a_wrong_answer_is_refused_in_one_sentence(key: str, text: str, words: str) -> None:
    """What is wrong, and how it is written."""
    fault = QUESTIONS[key].accepts(text)

    assert fault is not None
    assert words in fault


def test_a_box_is_good_to_the_end_of_its_last_day() -> None:
    """Today is not past."""
    assert QUESTIONS["expires"].accepts("2026-03-29") is None


def test_the_answers_ask_for_operator_assay_and_an_open_box_in_order() -> None:
    """After that the first patient can be begun."""
    operator, adoption, lot, opening = first_requests(SAID, SHELF)

    assert operator == OperatorLine(do="register-operator", id="op-1")
    assert isinstance(adoption, AdoptionLine)
    assert adoption.assay == THREE_LINES.id
    assert isinstance(lot, LotLine)
    assert (lot.number, lot.units, lot.expires) == ("L-100", 40, date(2027, 12, 31))
    assert opening == OpenLotLine(do="open-lot", by="op-1", lot="L-100")
