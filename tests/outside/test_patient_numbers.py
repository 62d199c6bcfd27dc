"""Patient numbers held to published examples, and to python-stdnum over made-up ones."""

from __future__ import annotations

from itertools import product
from string import ascii_uppercase, digits

import pytest
from hypothesis import given
from hypothesis import strategies as st
from stdnum import luhn
from stdnum.gb import nhs
from stdnum.iso7064 import mod_37_36

from readbell.core.board.patient_ids import IdFault, fault_of_id
from readbell.core.policy.identifying import PatientId
from readbell.core.policy.policy import SitePolicy

NHS = SitePolicy(patient_id=PatientId.NHS_NUMBER)
LUHN = SitePolicy(patient_id=PatientId.LUHN)
MOD = SitePolicy(patient_id=PatientId.MOD_37_36)


def weighted(number: str) -> int:
    """The remainder that the check digit follows from: weights 10 to 2, modulus 11."""
    return (
        sum(int(each) * weight for each, weight in zip(number, range(10, 1, -1), strict=False)) % 11
    )


def test_an_nhs_number_is_worked_out_as_its_rule_says() -> None:
    """943 476 5919: 90+36+24+28+42+30+20+27+2 = 299, remainder 2, and 11 - 2 = 9.

    The number is a well-known example, from memory; the working was done anew here.
    """
    assert weighted("943476591") == 299 % 11 == 2
    assert fault_of_id("9434765919", NHS) is None


@pytest.mark.parametrize(
    ("number", "policy", "fault"),
    [
        # From the tests of python-stdnum, gb.nhs.
        ("9434765870", NHS, None),
        ("9434765871", NHS, IdFault.CHECK),
        # Of python-stdnum, luhn: 7894 has the check digit 9.
        ("78949", LUHN, None),
        ("78940", LUHN, IdFault.CHECK),
        # Of python-stdnum, iso7064.mod_37_36.
        ("A12425GABC1234002M", MOD, None),
        ("A12425GABC1234002N", MOD, IdFault.CHECK),
    ],
)
def test_published_examples_come_out_as_published(
    number: str, policy: SitePolicy, fault: IdFault | None
) -> None:
    """A rule of our own would agree with itself alone."""
    assert fault_of_id(number, policy) is fault


@given(body=st.text(digits, min_size=9, max_size=9))
def test_of_ten_last_digits_at_most_one_makes_an_nhs_number(body: str) -> None:
    """Where the remainder asks for a ten, the number was never issued (common practice)."""
    fit = [each for each in digits if fault_of_id(body + each, NHS) is None]
    wanted = (11 - weighted(body)) % 11
    assert fit == ([] if wanted == 10 else [str(wanted)])


def completed(body: str) -> str:
    """The number with the one last digit that may fit, or with a nought."""
    return body + str((11 - weighted(body)) % 11 % 10)


SCHEMES = (
    (NHS, st.text(digits, min_size=9, max_size=9).map(completed).filter(nhs.is_valid), digits),
    (
        LUHN,
        st.text(digits, min_size=1, max_size=15).map(lambda n: n + luhn.calc_check_digit(n)),
        digits,
    ),
    (
        MOD,
        st.text(digits + ascii_uppercase, min_size=1, max_size=15).map(
            lambda n: n + mod_37_36.calc_check_digit(n)
        ),
        digits + ascii_uppercase,
    ),
)


@given(data=st.data(), scheme=st.sampled_from(SCHEMES))
def test_a_good_number_is_taken_and_every_change_of_one_sign_is_not(
    data: st.DataObject, scheme: tuple[SitePolicy, st.SearchStrategy[str], str]
) -> None:
    """One misread sign is what a check digit is for: each of the three schemes catches them all."""
    policy, numbers, alphabet = scheme
    number = data.draw(numbers)
    assert fault_of_id(number, policy) is None
    for place, sign in product(range(len(number)), alphabet):
        changed = number[:place] + sign + number[place + 1 :]
        if changed != number:
            assert fault_of_id(changed, policy) is IdFault.CHECK
