"""Those who are tested, in words."""

from __future__ import annotations

from phrases.patient_kinds import PATIENT_EVENTS
from readbell.core.people.events import ConsentNoted, ConsentRefused
from readbell.core.people.file import NOTHING_KNOWN, PersonFile
from readbell.core.policy.identifying import PatientId
from readbell.phrases.patient_words import in_groups, say_consent


def test_an_id_is_shown_in_groups_that_can_be_read_aloud() -> None:
    """An NHS number is printed in groups of three, three and four (common practice)."""
    assert in_groups("9434765919", PatientId.NHS_NUMBER) == "943 476 5919"
    assert in_groups("123456789", PatientId.LUHN) == "1234 5678 9"
    assert in_groups("AB-12", PatientId.PATTERN) == "AB-12"


def test_consent_is_told_in_a_few_words() -> None:
    """Nothing was said: nothing is told."""
    assert say_consent(NOTHING_KNOWN) == ""
    given = next(each for each in PATIENT_EVENTS if isinstance(each, ConsentNoted))
    assert say_consent(PersonFile(consent=given)) == "by the person; told to the person alone"
    refused = next(each for each in PATIENT_EVENTS if isinstance(each, ConsentRefused))
    assert say_consent(PersonFile(consent=refused)).startswith("NO CONSENT")
