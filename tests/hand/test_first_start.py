"""The first start: few questions, each answer held against what it must be, and a bay that can work."""

from __future__ import annotations

from datetime import date

import pytest

from builders import NASAL, THREE_LINES
from readbell.core.policy.staffing import SignInBy
from readbell.hand.first_start import FirstQuestion, first_questions, first_requests
from readbell.hand.scene import AtHand
from readbell.phrases.assay_words import say_figures
from readbell.scenarios.line import AdoptionLine, LotLine, OpenLotLine, OperatorLine
from readbell.scenarios.staff_lines import PinLine, SignInLine
from readbell.scenarios.stock_lines import ReceiveBoxLine

SHELF = tuple(
    AtHand(id=each.id, title=each.title, figures=say_figures(each)) for each in (NASAL, THREE_LINES)
)
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


def test_a_shared_bay_is_not_asked_for_the_name_that_it_has() -> None:
    """It was given when the bay was begun on its server; two names would be two bays to a reader."""
    asked = first_questions(SHELF, "Europe/London", TODAY, lambda _: True, is_named=True)
    assert [each.key for each in asked] == list(SAID)[1:]


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
        ("expires", "2026-12", "it is good through the last day of that month: type 2026-12-31."),
        ("expires", "31.12.2026", "For that day type 2026-12-31."),
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


@pytest.mark.parametrize(
    ("meant", "words"),
    [
        (("Europe/Berlin",), '"Berlin" is no time zone. Type Europe/Berlin.'),
        (
            ("America/Louisville", "America/Kentucky/Louisville"),
            "Type one of these: America/Louisville, America/Kentucky/Louisville.",
        ),
        ((), "type a large city that keeps the same time, to be told its name."),
    ],
    ids=["one", "two", "none"],
)
def test_whoever_names_a_city_is_told_the_time_zone(meant: tuple[str, ...], words: str) -> None:
    """Three minutes before the first patient nobody looks up how time zones are called."""
    zone = first_questions(
        SHELF, "UTC", TODAY, lambda _: False, zones_like=lambda text: meant * (text == "Berlin")
    )[1]

    assert words in (zone.accepts("Berlin") or "")


def test_the_figures_are_shown_before_it_is_asked_whether_they_agree() -> None:
    """Whoever is asked about what they cannot see says yes, and a whole site reads at wrong times."""
    shown = QUESTIONS["instructions"].shows({"assay": "1"})
    for each in say_figures(NASAL):
        assert each in shown
    assert "Influenza" in QUESTIONS["instructions"].shows({"assay": "2"})
    assert [each.key for each in QUESTIONS.values() if each.shows({"assay": "1"})] == [
        "instructions"
    ]


BOX = "0105412345000013172712311012AB"
"""A box's code by the GS1 General Specifications: item number (01), last day (17), lot (10); made up."""


def test_the_code_of_the_box_says_its_lot_and_its_last_day() -> None:
    """Taken whole for a lot number, no recall would ever find the people tested from it."""
    asked = QUESTIONS["lot"]

    assert asked.accepts(BOX) is None
    assert asked.settles(BOX) == {
        "lot": "12AB",
        "expires": "2027-12-31",
        "gtin": "05412345000013",
        "code": BOX,
        "coded": "12AB 2027-12-31",
    }
    assert asked.settles("L-100") == {"lot": "L-100"}
    said = {**SAID, **asked.settles(BOX)}
    *_, box, opening = first_requests(said, SHELF)
    assert isinstance(box, ReceiveBoxLine)
    assert (box.number, box.expires, box.gtin) == ("12AB", date(2027, 12, 31), "05412345000013")
    assert (box.assay, box.units, box.scan) == (THREE_LINES.id, 40, BOX)
    assert opening == OpenLotLine(do="open-lot", by="op-1", lot="12AB")


@pytest.mark.parametrize(
    ("code", "words"),
    [
        (BOX.replace("5412345000013", "5412345000014"), "check digit"),
        (BOX.replace("17271231", "17251231"), "2025-12-31 is past"),
        ("010541234500001317271231", "says no lot"),
    ],
    ids=["a slip in it", "past its last day", "without a lot"],
)
def test_a_code_that_founds_nothing_is_refused_with_why(code: str, words: str) -> None:
    """And nothing of it is taken."""
    assert words in (QUESTIONS["lot"].accepts(code) or "")


def test_a_code_without_a_last_day_leaves_that_to_be_asked() -> None:
    """Some boxes say their lot alone."""
    assert QUESTIONS["lot"].settles("01054123450000131012AB") == {
        "lot": "12AB",
        "gtin": "05412345000013",
    }


def test_a_code_without_an_item_number_is_kept_as_the_word_of_the_box_as_well() -> None:
    """What it says is never corrected by keys alone."""
    code = "10L-7\x1d17271231"
    *_, box, _ = first_requests({**SAID, **QUESTIONS["lot"].settles(code)}, SHELF)
    assert isinstance(box, ReceiveBoxLine)
    assert (box.number, box.gtin, box.scan) == ("L-7", None, code)


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


def test_where_a_badge_signs_in_the_first_operator_is_signed_in_before_anything_else() -> None:
    """Or nothing of the rest would be taken, and the bay would be half founded."""
    operator, signing, *rest = first_requests(SAID, SHELF, SignInBy.BADGE)
    assert isinstance(operator, OperatorLine)
    assert isinstance(signing, SignInLine)
    assert (signing.by, signing.pin) == (SAID["operator"], None)
    assert len(rest) == 3


def test_where_a_pin_signs_in_the_first_one_is_chosen_now() -> None:
    """Asked after the operator, unseen; what nobody should choose is refused in words."""
    questions = first_questions(SHELF, "UTC", date(2026, 1, 1), lambda _: True, SignInBy.PIN)
    place = [each.key for each in questions].index("pin")
    assert questions[place - 1].key == "operator"
    assert questions[place].is_secret
    assert questions[place].accepts("2580") is None
    for wrong in ("123", "abcd", "1111", "1234"):
        assert questions[place].accepts(wrong)
    assert sum(each.is_secret for each in questions) == 1

    said = {**SAID, "pin": "2580"}
    _, setting, signing, *_ = first_requests(said, SHELF, SignInBy.PIN)
    assert isinstance(setting, PinLine)
    assert isinstance(signing, SignInLine)
    assert setting.pin.value == "2580"
    assert signing.pin == setting.pin
    assert "2580" not in repr((setting, signing))
