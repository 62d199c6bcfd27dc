"""What a bundle says of each way in which a result can stand, and that it is the same again."""

from __future__ import annotations

import json
import re
from dataclasses import replace
from typing import Any
from urllib.parse import unquote

import pytest
from hypothesis import given
from hypothesis import strategies as st

from exports.reports import EVERY_WAY, lapsed, line, origin, report
from readbell.core.reading.interpretation import Outcome
from readbell.core.results.status import ResultStatus
from readbell.exports.fhir import bundle
from readbell.exports.report import Names, Report, namespace_of

TABLES: dict[str, frozenset[str]] = {
    "Observation.status": frozenset(
        ["registered", "preliminary", "final", "amended", "corrected", "entered-in-error"]
    ),
    "http://terminology.hl7.org/CodeSystem/data-absent-reason": frozenset(
        ["unknown", "not-performed"]
    ),
    "http://terminology.hl7.org/CodeSystem/v3-ObservationInterpretation": frozenset(["POS", "NEG"]),
    "http://terminology.hl7.org/CodeSystem/observation-category": frozenset(["laboratory"]),
    "http://terminology.hl7.org/CodeSystem/v2-0074": frozenset(["LAB"]),
    "http://terminology.hl7.org/CodeSystem/v3-ActReason": frozenset(["HTEST"]),
    "http://loinc.org": frozenset(["97097-0", "80382-5", "80383-3", "LA15841-2"]),
    "http://snomed.info/sct": frozenset(["10828004", "260385009", "455371000124106"]),
}
"""Every code that may leave, by its system; each was seen in a published list."""


def made(*reports: Report, **said: object) -> dict[str, Any]:
    """The bundle of these reports."""
    found: dict[str, Any] = json.loads("".join(bundle(origin(**said), reports)))
    return found


def resources(found: dict[str, Any], kind: str) -> list[dict[str, Any]]:
    """The resources of one kind."""
    entries = (each["resource"] for each in found.get("entry", ()))
    return [each for each in entries if each["resourceType"] == kind]


def observation(*reports: Report) -> dict[str, Any]:
    """The first observation of these reports."""
    return resources(made(*reports), "Observation")[0]


def every(found: object, key: str) -> list[Any]:
    """Whatever stands under `key`, however deep."""
    if isinstance(found, dict):
        own = [found[key]] if key in found else []
        return own + [each for value in found.values() for each in every(value, key)]
    if isinstance(found, list):
        return [each for value in found for each in every(value, key)]
    return []


@pytest.mark.parametrize(
    ("way", "status"),
    [
        ("final positive", "final"),
        ("final negative", "final"),
        ("final invalid", "final"),
        ("preliminary", "preliminary"),
        ("amended", "amended"),
        ("corrected", "corrected"),
        ("withheld after an early positive", "corrected"),
        ("withdrawn", "entered-in-error"),
        ("lapsed", "final"),
    ],
)
def test_each_state_has_its_status(way: str, status: str) -> None:
    """A receiver acts on this word alone."""
    found = made(EVERY_WAY[way])
    (seen,) = resources(found, "Observation")
    (said,) = resources(found, "DiagnosticReport")
    assert (seen["status"], said["status"]) == (status, status)


def test_a_positive_and_a_negative_are_coded_and_interpreted() -> None:
    """By SNOMED CT, where the assay names a LOINC code."""
    positive, negative = observation(report()), observation(report(Outcome.NEGATIVE))
    assert positive["code"]["coding"] == [{"system": "http://loinc.org", "code": "97097-0"}]
    assert positive["valueCodeableConcept"]["coding"][0]["code"] == "10828004"
    assert positive["interpretation"][0]["coding"][0]["code"] == "POS"
    assert negative["valueCodeableConcept"]["coding"][0]["code"] == "260385009"
    assert negative["interpretation"][0]["coding"][0]["code"] == "NEG"


def test_invalid_is_a_value_and_not_a_missing_one() -> None:
    """The strip was read; what it said was that it did not run."""
    found = observation(report(Outcome.INVALID))
    codes = {each["code"] for each in found["valueCodeableConcept"]["coding"]}
    assert codes == {"LA15841-2", "455371000124106"}
    assert "dataAbsentReason" not in found
    assert "interpretation" not in found


@pytest.mark.parametrize(
    ("way", "reason"),
    [
        ("lapsed", "not-performed"),
        ("withheld after an early positive", "unknown"),
        ("withdrawn", "unknown"),
    ],
)
def test_what_has_no_value_says_why(way: str, reason: str) -> None:
    """An invented value would be believed."""
    found = observation(EVERY_WAY[way])
    assert "valueCodeableConcept" not in found
    assert found["dataAbsentReason"]["coding"][0]["code"] == reason


def test_an_assay_without_a_code_leaves_words_alone() -> None:
    """A guessed code is worse than none."""
    found = observation(EVERY_WAY["words alone"])
    assert found["code"] == {"text": "SARS-CoV-2 antigen"}
    assert found["valueCodeableConcept"] == {"text": "Positive"}


def test_of_what_is_still_open_nothing_is_said() -> None:
    """One line showed early; the others are read in the window."""
    seen = report(
        status=ResultStatus.PRELIMINARY, lines=(line(key="a", name="A"), line(None, key="b"))
    )
    assert len(resources(made(seen), "Observation")) == 1


def test_a_repeat_has_what_came_to_nothing_before_it_under_it() -> None:
    """One report of one visit, with every look on record."""
    found = made(EVERY_WAY["a repeat"])
    (said,) = resources(found, "DiagnosticReport")
    seen = resources(found, "Observation")
    assert [each["status"] for each in seen] == ["final"] * 4
    assert len(said["result"]) == 4
    assert len(said["specimen"]) == 4
    assert seen[1]["valueCodeableConcept"]["text"] == "Invalid"


def test_times_stand_where_they_mean_what_they_say() -> None:
    """The specimen's instant is the effective one; a stated one is a stretch."""
    timed, stated = observation(report()), observation(EVERY_WAY["stated"])
    assert timed["effectiveDateTime"] == "2026-03-29T14:00:10.250+01:00"
    assert timed["issued"] == "2026-03-29T14:18:10.250+01:00"
    assert stated["effectivePeriod"] == {
        "start": "2026-03-29T13:59:50.250+01:00",
        "end": "2026-03-29T14:00:30.250+01:00",
    }
    (specimen,) = resources(made(EVERY_WAY["stated"]), "Specimen")
    assert "collectedPeriod" in specimen["collection"]
    never = report(collected=None, applied=None)
    assert not {each for each in observation(never) if each.startswith("effective")}
    assert "collection" not in resources(made(never), "Specimen")[0]


@pytest.mark.parametrize("way", EVERY_WAY)
def test_every_reference_leads_somewhere_in_the_bundle(way: str) -> None:
    """No library that was tried notices one that does not."""
    found = made(EVERY_WAY[way], EVERY_WAY["a repeat"])
    there = [each["fullUrl"] for each in found["entry"]]
    assert len(set(there)) == len(there)
    assert set(every(found, "reference")) <= set(there)
    asked = (
        each["request"].get("ifNoneExist") or each["request"]["url"].partition("?")[2]
        for each in found["entry"]
    )
    for each, entry in zip(asked, found["entry"], strict=True):
        system, _, value = unquote(each).removeprefix("identifier=").partition("|")
        assert {"system": system, "value": value} in entry["resource"]["identifier"]


@pytest.mark.parametrize("way", EVERY_WAY)
def test_every_code_is_of_a_published_list(way: str) -> None:
    """No library that was tried looks at them."""
    found = made(EVERY_WAY[way], rehearsal=True)
    codings = [coding for each in every(found, "coding") for coding in each]
    codings += [coding for each in every(found, "security") for coding in each]
    for each in codings:
        assert each["code"] in TABLES[each["system"]], each
    for each in (*resources(found, "Observation"), *resources(found, "DiagnosticReport")):
        assert each["status"] in TABLES["Observation.status"]


def test_the_same_thing_has_the_same_number_whenever_it_leaves() -> None:
    """A second bundle then changes what the first one made, and makes nothing twice."""
    first, again = made(report()), made(report(Outcome.NEGATIVE, ResultStatus.AMENDED, version=2))
    urls = [[each["fullUrl"] for each in found["entry"]] for found in (first, again)]
    assert urls[0] == urls[1]
    assert all(re.fullmatch(r"urn:uuid:[0-9a-f-]{36}", each) for each in urls[0])
    elsewhere = made(report(), namespace=namespace_of(b"another bay"))
    assert not {each["fullUrl"] for each in elsewhere["entry"]} & set(urls[0])


def test_a_receiver_keeps_what_it_knows_of_people_and_takes_what_is_new_of_results() -> None:
    """A patient's record elsewhere is not to be replaced by what a bay knows of them."""
    found = made(report())
    methods = {
        each["resource"]["resourceType"]: each["request"]["method"] for each in found["entry"]
    }
    assert methods == {
        "Patient": "POST",
        "Practitioner": "POST",
        "Device": "POST",
        "Specimen": "PUT",
        "Observation": "PUT",
        "DiagnosticReport": "PUT",
    }


def test_what_several_results_share_stands_in_the_bundle_once() -> None:
    """Two entries of one address are refused by every receiver."""
    found = made(report(), report(id="cartridge-2"))
    assert len(resources(found, "Patient")) == len(resources(found, "Device")) == 1
    assert len(resources(found, "Observation")) == 2


def test_ids_stand_under_the_systems_of_the_site_or_of_this_bay_alone() -> None:
    """P-001 of two sites are two people."""
    names = Names(patient_system="https://ids.example.org/p", operator_system="urn:oid:2.999.1")
    (patient,) = resources(made(report(), names=names), "Patient")
    (operator,) = resources(made(report(), names=names), "Practitioner")
    assert patient["identifier"] == [{"system": "https://ids.example.org/p", "value": "P-001"}]
    assert operator["identifier"] == [{"system": "urn:oid:2.999.1", "value": "op-1"}]
    assert (patient["name"], patient["birthDate"]) == ([{"text": "Ada Brook"}], "1980-02-03")
    (own,) = resources(made(report()), "Patient")
    assert own["identifier"][0]["system"].startswith("urn:uuid:")


def test_who_was_erased_bears_a_number_and_nothing_else() -> None:
    """The result stays; whose it was does not."""
    found = made(EVERY_WAY["erased"])
    (patient,) = resources(found, "Patient")
    assert set(patient) == {"resourceType", "identifier"}
    assert patient["identifier"][0]["system"] == "urn:ietf:rfc:3986"


def test_practice_says_so_in_every_resource() -> None:
    """Else a rehearsed positive is somebody's positive."""
    found = made(report(), rehearsal=True)
    for each in (found, *(entry["resource"] for entry in found["entry"])):
        assert each["meta"]["security"][0]["code"] == "HTEST"
    assert every(made(report()), "security") == []


def test_a_specimen_is_coded_where_the_assay_says_so() -> None:
    """697989009, anterior nares swab, as a published guide has it."""
    (specimen,) = resources(made(report(specimen_code="697989009")), "Specimen")
    assert specimen["type"]["coding"] == [{"system": "http://snomed.info/sct", "code": "697989009"}]


def test_a_bundle_of_nothing_is_one_without_entries() -> None:
    """FHIR knows no empty list."""
    assert made() == {
        "resourceType": "Bundle",
        "type": "transaction",
        "timestamp": "2026-03-29T18:00:00.000+00:00",
    }


def test_a_result_without_a_reader_names_none() -> None:
    """A window that nobody read in."""
    found = made(lapsed(reader=None))
    assert resources(found, "Practitioner") == []
    assert "performer" not in resources(found, "Observation")[0]


@given(text=st.text(max_size=40).filter(lambda each: each.strip()))
def test_whatever_an_id_says_the_bundle_is_whole(text: str) -> None:
    """And it reads back as it was entered."""
    if any("\ud800" <= each <= "\udfff" for each in text):
        return
    named = replace(report(), patient=replace(report().patient, id=text, name=text))
    (patient,) = resources(made(named), "Patient")
    assert patient["identifier"][0]["value"] == text
    assert patient["name"] == [{"text": text}]
