"""What a site asks about those who are tested: the form of their ID, and what else they are known by."""

from __future__ import annotations

from enum import StrEnum


class PatientId(StrEnum):
    """What a patient ID has to be to be taken."""

    ANY = "any"
    NHS_NUMBER = "nhs-number"
    """Ten digits, the last one a check digit by modulus 11."""
    LUHN = "luhn"
    """Digits, the last one a check digit by modulus 10."""
    MOD_37_36 = "mod-37-36"
    """Letters and digits, the last one a check character by ISO/IEC 7064."""
    PATTERN = "pattern"
    """What a regular expression of the site's own takes whole."""


class SecondIdentifier(StrEnum):
    """By what, beside the ID, a person is made sure of at the label and at the reading."""

    NONE = "none"
    NAME = "name"
    BIRTH_DATE = "birth-date"
