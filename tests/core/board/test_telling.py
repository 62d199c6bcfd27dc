"""Somebody is told a result: what waits is told to nobody, and consent says to whom."""

from __future__ import annotations

from dataclasses import replace

import pytest

from builders import CLEAR, NASAL, NEGATIVE, TODAY, at, private
from core.board.telling_bench import OFFICE, TellingBench
from readbell.core.board.fold import fold
from readbell.core.board.telling import (
    NOTHING_YET,
    TELL_ALONE,
    TELL_CHANGED,
    TELL_HELD,
    TELL_NO_OFFICE,
    TELL_NOT_GUARDIAN,
    TELL_NOT_OTHER,
    TELL_SAMPLE,
    TELL_SECOND,
    TELL_VOID,
)
from readbell.core.cartridge.events import How
from readbell.core.errors import BrokenRecordError
from readbell.core.people.acts import NoteParticulars
from readbell.core.people.particulars import Particular, ToldTo
from readbell.core.policy.second_reading import SecondReaderRule
from readbell.core.reading.interpretation import LineOutcome, Outcome
from readbell.core.refusal import RefusalCode
from readbell.core.results.status import ResultStatus
from readbell.core.results.telling import Channel, Hearer, ResultTold
from readbell.core.staff.acts import GiveRoles
from readbell.core.staff.roles import Role

POSITIVE = (LineOutcome(line="sars-cov-2", outcome=Outcome.POSITIVE),)


def read(seen: object = NEGATIVE) -> TellingBench:
    """A bench on which C1 was read of P-001."""
    made = TellingBench()
    made.read(seen)  # type: ignore[arg-type]
    return made


def test_a_telling_keeps_what_was_said_to_whom_how_and_in_which_state() -> None:
    """What somebody heard stays with them, so it is kept as it was said."""
    made = read(CLEAR)

    (event,) = made.must(made.tell_act(person="P-001"), "20:00")

    assert event == ResultTold(
        at=at("20:00"),
        by="key-op-1",
        cartridge="id-C1",
        version=1,
        status=ResultStatus.FINAL,
        outcomes=POSITIVE,
        to=Hearer.PERSON,
        how=Channel.PHONE,
        made_sure=How.TYPED,
    )
    assert made.board.told["id-C1"] == (event,)
    assert not made.to_tell()


def test_an_early_positive_is_told_as_preliminary() -> None:
    """The reading in the window is still to come."""
    made = TellingBench()
    made.to_well()
    made.must(made.look_act(CLEAR), "5:00")

    told = made.tell(now="6:00")

    assert (told.status, told.outcomes) == (ResultStatus.PRELIMINARY, POSITIVE)
    assert told.made_sure is None, "nobody read an ID back"


def test_nothing_is_told_before_anything_was_read() -> None:
    """A strip that runs says nothing."""
    made = TellingBench()
    made.to_well()
    refused = made.refused(made.tell_act(), "10:00")

    assert (refused.code, refused.subject) == (RefusalCode.NOT_ALLOWED, NOTHING_YET)


def test_what_is_held_for_review_is_told_to_nobody() -> None:
    """A supervisor looks at it first."""
    made = read()
    made.hold("C1", "19:00")

    assert made.refused(made.tell_act(), "20:00").subject == TELL_HELD
    made.release(now="20:30")
    assert made.tell(now="21:00").status is ResultStatus.FINAL


def test_what_waits_for_a_second_reader_is_told_to_nobody() -> None:
    """What the first one saw is nobody's result yet."""
    made = TellingBench()
    made.decides(second_reader=(SecondReaderRule(),))
    made.read(CLEAR)

    assert made.refused(made.tell_act(), "18:30").subject == TELL_SECOND
    assert not made.to_tell()
    made.must(made.read_act(CLEAR, by="op-2"), "19:00")
    assert made.to_tell() == [("C1", "positive")]


def test_of_a_void_cartridge_there_is_nothing_to_tell() -> None:
    """Nothing came of it."""
    made = TellingBench()
    made.label()
    made.must(made.void_act())

    assert made.refused(made.tell_act()).subject == TELL_VOID


def test_a_control_sample_is_nobodys_result() -> None:
    """It is never told as a patient's."""
    made = TellingBench()
    made.materials()
    made.whole_sample("S1", "PC-1", 0, CLEAR)

    refused = made.refused(made.tell_act("S1"), "20:00")
    assert (refused.code, refused.subject) == (RefusalCode.NOT_ALLOWED, TELL_SAMPLE)
    assert not made.to_tell()


def test_what_changed_since_it_was_opened_is_not_told_as_it_was() -> None:
    """Between the list and the word a result may have been taken back."""
    made = read()
    made.withdraw(now="19:00")

    assert made.refused(made.tell_act(version=7), "20:00").subject == TELL_CHANGED
    made.read(CLEAR, "C2", "P-002", now="18:30")
    told = made.tell("C2")
    made.withdraw("C2")
    old = made.tell_act("C2", version=told.version)
    refused = made.refused(old, "24:00")
    assert (refused.code, refused.subject) == (RefusalCode.NOT_ALLOWED, TELL_CHANGED)


def test_strangers_tell_nothing_and_nothing_is_told_of_strangers() -> None:
    """Both are refused by name."""
    made = read()

    nobody, nothing = made.refused(made.tell_act(by="nobody")), made.refused(made.tell_act("C9"))
    assert (nobody.code, nobody.subject) == (RefusalCode.UNKNOWN_OPERATOR, "nobody")
    assert (nothing.code, nothing.subject) == (RefusalCode.UNKNOWN_CARTRIDGE, "C9")


@pytest.mark.parametrize(
    ("to", "why"), [(Hearer.GUARDIAN, TELL_NOT_GUARDIAN), (Hearer.OTHER, TELL_NOT_OTHER)]
)
def test_without_a_consent_that_says_so_nobody_but_the_person_is_told(to: Hearer, why: str) -> None:
    """A result is the person's own."""
    made = read()

    refused = made.refused(made.tell_act(to=to), "20:00")
    assert (refused.code, refused.subject) == (RefusalCode.NOT_ALLOWED, why)
    made.consents(ToldTo.PERSON)
    assert made.refused(made.tell_act(to=to), "20:00").subject == why
    made.consents(ToldTo(str(to)), assays=("another",))
    assert made.refused(made.tell_act(to=to), "20:00").subject == why
    made.consents(ToldTo(str(to)), assays=(NASAL.id,))
    assert made.tell(to=to).to is to


def test_what_is_confidential_is_told_to_the_person_alone_whatever_consent_says() -> None:
    """A pregnancy test, for one."""
    made = TellingBench(replace(NASAL, confidential=True))
    made.read(NEGATIVE)
    made.consents(ToldTo.GUARDIAN)

    assert made.refused(made.tell_act(to=Hearer.GUARDIAN), "20:00").subject == TELL_ALONE
    assert made.tell().to is Hearer.PERSON


def test_whoever_was_told_wrongly_hears_that_it_no_longer_holds() -> None:
    """A consent that was narrowed meanwhile must not leave a wrong result standing."""
    made = read(CLEAR)
    made.consents(ToldTo.GUARDIAN)
    made.tell(to=Hearer.GUARDIAN)
    made.consents(ToldTo.PERSON)
    assert made.refused(made.tell_act(to=Hearer.GUARDIAN), "21:00").subject == TELL_NOT_GUARDIAN
    made.withdraw()

    told = made.tell(to=Hearer.GUARDIAN, now="24:00")

    assert (told.status, told.outcomes) == (ResultStatus.WITHDRAWN, ())


def test_an_id_that_is_read_back_has_to_be_theirs() -> None:
    """Two people in a queue have one surname: the ID, or what they are known by, is held against it."""
    made = read()
    ada = NoteParticulars(
        by="op-1",
        person="P-001",
        particulars=((Particular.NAME, private("Ada Quillby")),),
        today=TODAY,
    )
    made.must(ada)

    for wrong in ("P-002", "Ida Quillby"):
        refused = made.refused(made.tell_act(person=wrong), "20:00")
        assert (refused.code, refused.subject) == (RefusalCode.WRONG_PERSON, "C1")
    (event,) = made.must(made.tell_act(person="ada quillby"), "20:00")
    assert isinstance(event, ResultTold)
    assert event.made_sure is How.TYPED


def test_what_is_older_than_the_shift_is_told_by_supervisors() -> None:
    """Where there are roles a tester sees the running day alone."""
    made = read()
    roles = GiveRoles(by="op-1", operator="op-2", roles=(Role.TESTER,))
    made.must(roles)
    late = made.tell_act(by="op-2", since="1:00")

    refused = made.refused(late, "20:00")

    assert (refused.code, refused.subject) == (RefusalCode.ROLE_MISSING, Role.SUPERVISOR)
    made.must(replace(late, by="op-1"), "20:00")
    made.must(made.tell_act(by="op-2"), "21:00")


def test_an_office_is_notified_only_where_the_site_names_one() -> None:
    """The program knows no law."""
    made = read(CLEAR)
    refused = made.refused(made.tell_act(to=Hearer.OFFICE), "20:00")
    assert (refused.code, refused.subject) == (RefusalCode.NOT_ALLOWED, TELL_NO_OFFICE)
    made.decides(notices=(OFFICE,))

    assert made.tell(to=Hearer.OFFICE).to is Hearer.OFFICE


def test_a_run_on_paper_is_told_by_its_label_on_its_day_and_by_its_id_later() -> None:
    """Labels come again; the opaque id does not."""
    made = TellingBench()
    made.from_paper("K0", "39:00")
    run = made.from_paper()

    assert made.to_tell("50:00") == [("K0", "positive"), ("K1", "positive")]
    (of_its_day,) = made.must(made.tell_act("K1", since="40:00"), "41:00")
    assert isinstance(of_its_day, ResultTold)
    assert of_its_day.cartridge == run.run
    later = made.tell_act("K1", since="45:00")
    assert made.refused(later, "46:00").code is RefusalCode.UNKNOWN_CARTRIDGE
    made.must(replace(later, cartridge="run-K0"), "46:00")
    assert not made.to_tell("50:00")
    assert made.tell("K0", now="47:00").cartridge == "run-K0"


def test_a_record_that_tells_of_what_it_never_introduced_is_broken() -> None:
    """So is one that tells somebody of a control sample."""
    made = read()
    told = made.tell()
    made.materials()
    made.sample("S1", "PC-1", "25:00")

    for key, why in (("id-C9", "cartridge 'id-C9'"), ("id-S1", "'id-S1', which is no patient's")):
        with pytest.raises(BrokenRecordError, match=why):
            fold(made.board, replace(told, cartridge=key))


def test_what_else_is_to_be_known_of_a_telling_stays_with_it() -> None:
    """Whom exactly it was, in words."""
    made = read()
    words = private("the ward's own telephone")
    (told,) = made.must(replace(made.tell_act(), words=words), "20:00")
    assert isinstance(told, ResultTold)
    assert told.words == words


def test_whoever_was_told_of_a_run_on_paper_that_was_taken_back_is_put_right() -> None:
    """What was entered late can be as wrong as anything else."""
    made = TellingBench()
    run = made.from_paper()
    made.tell("K1", now="41:00")
    made.withdraw("K1", "42:00")

    assert made.board.to_put_right == {run.run: "key-P-002"}
    assert made.to_tell("50:00") == [("K1", "put-right")]


def test_a_run_on_paper_of_an_assay_that_was_never_adopted_is_broken() -> None:
    """Nobody could say what its lines mean."""
    made = TellingBench()
    run = made.from_paper()

    with pytest.raises(BrokenRecordError, match="assay 'no-such'"):
        fold(made.board, replace(run, run="run-9", assay="no-such"))
