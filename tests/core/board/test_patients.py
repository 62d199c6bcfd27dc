"""Who is tested: what their ID has to be, what else they are known by, and their consent."""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING

import pytest

from builders import CLEAR, NASAL, NEGATIVE, START, TODAY, Bench, at, private
from readbell.core.board.acts import RegisterParty, RegisterPerson
from readbell.core.board.fold import fold
from readbell.core.board.owing import TESTED_TODAY
from readbell.core.board.patient_ids import IdFault, fault_of_id
from readbell.core.board.patients import (
    DAY_TO_COME,
    MINOR,
    NO_SUCH_DAY,
    NOT_ALONE,
    SECOND_WRONG,
    file_of,
    is_minor,
    second_known,
)
from readbell.core.cartridge.acts import Aim, Label
from readbell.core.cartridge.events import CartridgeLabelled, How
from readbell.core.errors import BrokenRecordError
from readbell.core.people.acts import NoteConsent, NoteParticulars, NoteSymptoms, RefuseConsent
from readbell.core.people.events import ConsentNoted, ParticularNoted, PersonRegistered
from readbell.core.people.particulars import (
    ConsentBy,
    ConsentHow,
    DeclineReason,
    Particular,
    ToldTo,
)
from readbell.core.policy.identifying import PatientId, SecondIdentifier
from readbell.core.policy.policy import SitePolicy
from readbell.core.refusal import RefusalCode
from readbell.core.review.reasons import HoldReason

if TYPE_CHECKING:
    from readbell.core.assay.assay import Assay

CONFIDENTIAL = replace(NASAL, id="confidential", confidential=True)


def bench(assay: Assay = NASAL, **decides: object) -> Bench:
    """A bench of a site that has decided so."""
    made = Bench(assay)
    made.decides(**decides)
    return made


def known(made: Bench, what: Particular = Particular.NAME, said: str = "Ada Quillby") -> Bench:
    """The bench, with P-001 known by that."""
    made.must(note(what, said))
    return made


def note(what: Particular, said: str, person: str = "P-001", by: str = "op-1") -> NoteParticulars:
    """Something about a person."""
    return NoteParticulars(by=by, person=person, particulars=((what, private(said)),), today=TODAY)


def label(made: Bench, second: str | None = None, began: str | None = "0:00") -> Label:
    """The start of a cartridge, with what was read back."""
    act = made.label_act()
    aim = replace(act.aim, second=second, second_by=None if second is None else How.TYPED)
    return replace(act, aim=aim, day_began=None if began is None else at(began))


def consent(**more: object) -> NoteConsent:
    """Somebody consents."""
    said: dict[str, object] = {
        "by": "op-1",
        "person": "P-001",
        "giver": ConsentBy.SELF,
        "how": ConsentHow.SPOKEN,
        "assays": (),
        "told_to": ToldTo.PERSON,
        "words": None,
        "today": TODAY,
        **more,
    }
    return NoteConsent(**said)  # type: ignore[arg-type]


NO = RefuseConsent(by="op-1", person="P-001", reason=DeclineReason.DECLINED, words=None)


@pytest.mark.parametrize(
    ("text", "scheme", "fault"),
    [
        ("whatever", PatientId.ANY, None),
        ("943 476 5919", PatientId.NHS_NUMBER, IdFault.FORM),
        ("943-476-5919", PatientId.NHS_NUMBER, IdFault.FORM),
        ("943476591", PatientId.NHS_NUMBER, IdFault.FORM),
        ("٩٤٣٤٧٦٥٩١٩", PatientId.NHS_NUMBER, IdFault.FORM),
        ("7", PatientId.LUHN, IdFault.FORM),
        ("a12425GABC1234002M", PatientId.MOD_37_36, IdFault.FORM),
    ],
)
def test_blanks_and_other_digits_are_no_id(
    text: str, scheme: PatientId, fault: IdFault | None
) -> None:
    """One person must not have two IDs that look alike."""
    assert fault_of_id(text, SitePolicy(patient_id=scheme)) is fault


def test_a_pattern_takes_an_id_whole() -> None:
    """A site's own form, from the first sign to the last."""
    policy = SitePolicy(patient_id=PatientId.PATTERN, patient_id_pattern="[A-Z]{2}[0-9]{3}")
    assert fault_of_id("AB123", policy) is None
    assert fault_of_id("AB1234", policy) is IdFault.FORM


def test_a_wrong_number_is_registered_nowhere() -> None:
    """Neither alone nor in a party, and nobody else of the party is."""
    made = bench(patient_id=PatientId.NHS_NUMBER)
    refused = made.refused(RegisterPerson(by="op-1", person=private("9434765918")))
    assert (refused.code, refused.subject) == (
        RefusalCode.ID_CHECK_FAILED,
        "nhs-number: 9434765918",
    )
    people = (private("9434765919"), private("P-9"))
    party = RegisterParty(by="op-1", party=private("car"), persons=people)
    assert made.refused(party).code is RefusalCode.ID_MALFORMED
    made.must(RegisterPerson(by="op-1", person=private("9434765919")))


def test_a_person_is_registered_with_what_they_are_known_by() -> None:
    """One act, and each thing an event of its own that can be erased alone."""
    made = bench()
    act = RegisterPerson(
        by="op-1",
        person=private("P-9"),
        particulars=((Particular.BIRTH_DATE, private("1980-02-03")),),
        today=TODAY,
    )
    registered, noted = made.must(act)
    assert isinstance(registered, PersonRegistered)
    assert isinstance(noted, ParticularNoted)
    assert file_of(made.board, registered.person.key).born == "1980-02-03"
    late = replace(
        act, person=private("P-10"), particulars=((Particular.BIRTH_DATE, private("2999-01-01")),)
    )
    assert made.refused(late).subject == DAY_TO_COME


@pytest.mark.parametrize(
    ("said", "subject"), [("2026-03-30", DAY_TO_COME), ("1980-02-31", NO_SUCH_DAY)]
)
def test_nobody_is_born_on_a_day_that_is_not(said: str, subject: str) -> None:
    """Today, 29 March 2026, is the last day on which somebody here may be born."""
    made = bench()
    refused = made.refused(note(Particular.BIRTH_DATE, said))
    assert (refused.code, refused.subject) == (RefusalCode.NOT_ALLOWED, subject)
    made.must(note(Particular.BIRTH_DATE, TODAY.isoformat()))


def test_the_last_word_counts_and_an_erased_one_is_unknown() -> None:
    """A slip is put right by saying it anew; what was said first stays on record."""
    made = known(known(bench(), said="Ada Qillby"))
    made.must(note(Particular.CONTACT, "0123"))
    key = made.board.persons["P-001"]
    assert file_of(made.board, key).name == "Ada Quillby"
    assert file_of(made.board, key).contact == "0123"
    gone = ParticularNoted(
        at=START, by=None, person=key, what=Particular.NAME, value=replace(private("x"), value=None)
    )
    assert file_of(fold(made.board, gone), key).name is None


def test_strangers_note_nothing_and_nothing_is_noted_of_strangers() -> None:
    """Who is not registered is nobody."""
    made = bench()
    assert made.refused(note(Particular.NAME, "A", by="op-9")).code is RefusalCode.UNKNOWN_OPERATOR
    assert made.refused(note(Particular.NAME, "A", person="P-9")).code is RefusalCode.UNKNOWN_PERSON
    event = ParticularNoted(
        at=START, by=None, person="nobody", what=Particular.NAME, value=private("A")
    )
    with pytest.raises(BrokenRecordError, match="never introduced"):
        fold(made.board, event)


def test_where_the_site_asks_nothing_nothing_is_asked() -> None:
    """And what is said all the same must be right."""
    made = known(known(bench()), Particular.BIRTH_DATE, "1980-02-03")
    assert second_known(made.board, made.board.persons["P-001"]) is None
    assert made.refused(label(made, "Eda Quillby")).code is RefusalCode.WRONG_PERSON
    made.must(label(made, "1980-02-03"))


@pytest.mark.parametrize(
    ("asks", "right", "wrong"),
    [
        (SecondIdentifier.NAME, "ADA quillby", "1980-02-03"),
        (SecondIdentifier.BIRTH_DATE, "19800203", "Ada Quillby"),
    ],
)
def test_the_second_identifier_is_read_back_at_the_label(
    asks: SecondIdentifier, right: str, wrong: str
) -> None:
    """Left out or another person's, no pouch is given to anybody."""
    made = known(known(bench(second_identifier=asks)), Particular.BIRTH_DATE, "1980-02-03")
    missing = made.refused(label(made))
    assert (missing.code, missing.subject) == (RefusalCode.SECOND_MISSING, str(asks))
    # No cartridge is anybody's yet: what was said is what is wrong, and the sentence says so.
    said = made.refused(label(made, wrong))
    assert (said.code, said.subject) == (RefusalCode.WRONG_PERSON, SECOND_WRONG)
    (started,) = made.must(label(made, right))
    assert isinstance(started, CartridgeLabelled)
    assert started.identified.second is How.TYPED


def test_at_the_reading_a_wrong_one_is_refused_and_a_missing_one_is_held() -> None:
    """An identity mismatch stops a reading; what is only missing never costs a valid test."""
    made = known(bench(second_identifier=SecondIdentifier.NAME))
    made.must(label(made, "Ada Quillby"))
    for step in ("buffer", "collect", "extract"):
        made.step(step, "0:00")
    made.step("withdraw", "1:00")
    made.step("apply", "2:30")
    read = made.read_act(NEGATIVE, person="P-001")
    wrong = replace(read, aim=replace(read.aim, second="Eda Quillby"))
    refused = made.refused(wrong, "18:00")
    assert (refused.code, refused.subject) == (RefusalCode.WRONG_PERSON, "C1")
    assert made.cartridge().held == ()
    made.must(read, "18:00")
    assert made.cartridge().held == (HoldReason.SECOND_NOT_READ_BACK,)


def test_read_back_nothing_is_held() -> None:
    """The early look and the reading alike."""
    made = known(bench(second_identifier=SecondIdentifier.NAME))
    made.must(label(made, "Ada Quillby"))
    for step in ("buffer", "collect", "extract"):
        made.step(step, "0:00")
    made.step("withdraw", "1:00")
    made.step("apply", "2:30")
    look = made.look_act(CLEAR, person="P-001")
    made.must(replace(look, aim=replace(look.aim, second="Ada Quillby")), "6:00")
    read = made.read_act(CLEAR, person="P-001")
    made.must(replace(read, aim=replace(read.aim, second="ada quillby")), "18:00")
    assert made.cartridge().held == ()


def test_without_consent_nobody_is_begun_where_the_site_asks_for_it() -> None:
    """And with it they are, until the day is over."""
    made = bench(ask_consent=True)
    assert made.refused(label(made)).code is RefusalCode.CONSENT_MISSING
    made.must(consent())
    assert made.refused(label(made, began="0:01"), "0:02").code is RefusalCode.CONSENT_MISSING
    assert made.refused(replace(label(made), lot="L-9")).code is RefusalCode.UNKNOWN_LOT
    made.must(label(made, began=None))


def test_consent_is_for_the_assays_it_names() -> None:
    """Of one that is not adopted nobody can say what it is."""
    made = bench(ask_consent=True)
    assert made.refused(consent(assays=("other",))).code is RefusalCode.NOT_ADOPTED
    made.must(consent(assays=(NASAL.id,)))
    made.must(label(made))
    other = bench(CONFIDENTIAL, ask_consent=True)
    other.must(consent(assays=(CONFIDENTIAL.id,)))
    event = other.board.person_files[other.board.persons["P-001"]].consent
    assert isinstance(event, ConsentNoted)
    other.board = fold(other.board, replace(event, assays=("another",)))
    assert other.refused(label(other)).code is RefusalCode.CONSENT_MISSING


def test_a_refusal_ends_the_visit_whatever_the_site_asks() -> None:
    """Nobody waits for them any more; consent that is noted anew begins another."""
    made = bench()
    made.must(
        RegisterParty(by="op-1", party=private("car"), persons=(private("P-001"), private("P-002")))
    )
    key = made.board.persons["P-001"]
    assert key in made.board.waiting
    made.must(NO)
    assert key not in made.board.waiting
    refused = made.refused(label(made))
    assert (refused.code, refused.subject) == (RefusalCode.CONSENT_REFUSED, "declined")
    made.must(consent())
    made.must(label(made))


def test_what_was_refused_on_another_day_is_asked_anew() -> None:
    """It was an answer for that visit."""
    made = bench()
    made.must(NO)
    made.must(label(made, began="0:01"), "0:02")


@pytest.mark.parametrize(("born", "minor"), [("2010-03-30", True), ("2010-03-29", False)])
def test_who_is_too_young_does_not_consent_alone(born: str, *, minor: bool) -> None:
    """The site draws the line, and the birthday is past it."""
    made = known(bench(minor_below_years=16), Particular.BIRTH_DATE, born)
    key = made.board.persons["P-001"]
    assert is_minor(made.board, key, TODAY) is minor
    if not minor:
        made.must(label(made))
        return
    assert made.refused(label(made)).code is RefusalCode.CONSENT_MISSING
    assert made.refused(consent()).subject == MINOR
    made.must(consent(giver=ConsentBy.GUARDIAN, told_to=ToldTo.GUARDIAN))
    made.must(label(made))


def test_a_consent_from_before_the_age_was_known_does_not_do() -> None:
    """The date of birth came after it."""
    made = bench(minor_below_years=16)
    made.must(consent())
    known(made, Particular.BIRTH_DATE, "2012-01-01")
    assert made.refused(label(made)).subject == MINOR


def test_a_confidential_result_is_told_to_the_person_alone() -> None:
    """Whoever else is to hear it, this one they do not."""
    made = bench(CONFIDENTIAL, ask_consent=True)
    named = consent(assays=(CONFIDENTIAL.id,), told_to=ToldTo.GUARDIAN)
    assert made.refused(named).subject == NOT_ALONE
    made.must(consent(told_to=ToldTo.OTHER))
    assert made.refused(label(made)).subject == NOT_ALONE
    made.must(consent())
    made.must(label(made))


def test_symptoms_began_today_or_before() -> None:
    """A day to come is a slip."""
    made = bench()
    act = NoteSymptoms(
        by="op-1", person="P-001", present=True, onset=private("2026-03-27"), today=TODAY
    )
    made.must(act)
    found = file_of(made.board, made.board.persons["P-001"]).symptoms
    assert found is not None
    assert found.onset is not None
    made.must(replace(act, present=False, onset=None))
    late = replace(act, onset=private("2026-04-01"))
    assert made.refused(late).subject == DAY_TO_COME


def test_a_second_test_of_the_same_day_is_warned_of_and_a_repeat_is_not() -> None:
    """Two of one assay for one person is a slip more often than not."""
    made = bench()
    made.must(label(made))
    act = label(made, began="0:00")
    again = replace(act, aim=replace(act.aim, cartridge="C2"), new_id="id-C2")
    (started,) = made.must(again, "1:00")
    assert isinstance(started, CartridgeLabelled)
    assert started.warnings == (TESTED_TODAY,)
    other = bench()
    other.must(label(other))
    other.must(other.void_act())
    (repeat,) = other.must(again, "1:00")
    assert isinstance(repeat, CartridgeLabelled)
    assert repeat.warnings == ()
    later = replace(again, aim=Aim(by="op-1", cartridge="C3", person="P-001"), new_id="id-C3")
    (next_day,) = made.must(replace(later, day_began=at("2:00")), "3:00")
    assert isinstance(next_day, CartridgeLabelled)
    assert next_day.warnings == ()
