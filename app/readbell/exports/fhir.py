"""Results as one transaction Bundle of FHIR R4 (4.0.1), written an entry at a time.

* Each resource has the same `urn:uuid` whenever it leaves, and an identifier of its own,
  so a bundle that is sent twice, or again after a change, makes nothing twice: results
  replace what was there under their identifier; a patient, a practitioner and a lot that
  the receiver has already stay as they are there.
* A reading in error is never deleted: what was taken back leaves as `entered-in-error`.
* An invalid result is a value. One that nobody read has none, and says why.
"""

from __future__ import annotations

import json
from typing import TYPE_CHECKING, Any
from urllib.parse import quote

from readbell.core.reading.interpretation import Outcome
from readbell.core.results.status import ResultStatus
from readbell.exports.codes import LOINC, OUTCOMES, SNOMED

if TYPE_CHECKING:
    from collections.abc import Iterable, Iterator
    from datetime import datetime
    from uuid import UUID

    from readbell.exports.report import Line, Named, Origin, Report, When

TERMINOLOGY = "http://terminology.hl7.org/CodeSystem"
UUIDS = "urn:ietf:rfc:3986"
"""The system of an identifier that is a URI itself."""
NOT_PERFORMED = {
    "system": f"{TERMINOLOGY}/data-absent-reason",
    "code": "not-performed",
    "display": "Not Performed",
}
UNKNOWN = {"system": f"{TERMINOLOGY}/data-absent-reason", "code": "unknown", "display": "Unknown"}
INTERPRETATIONS = {
    Outcome.POSITIVE: {
        "system": f"{TERMINOLOGY}/v3-ObservationInterpretation",
        "code": "POS",
        "display": "Positive",
    },
    Outcome.NEGATIVE: {
        "system": f"{TERMINOLOGY}/v3-ObservationInterpretation",
        "code": "NEG",
        "display": "Negative",
    },
}
LABORATORY = {
    "system": f"{TERMINOLOGY}/observation-category",
    "code": "laboratory",
    "display": "Laboratory",
}
LAB_REPORT = {"system": f"{TERMINOLOGY}/v2-0074", "code": "LAB", "display": "Laboratory"}
PRACTICE = {
    "system": f"{TERMINOLOGY}/v3-ActReason",
    "code": "HTEST",
    "display": "test health data",
}

Resource = dict[str, Any]


def status_of(report: Report) -> str:
    """Return what Observation.status and DiagnosticReport.status say of a report; R4 has both alike.

    Raises:
        KeyError: it is nothing that leaves as a patient's result.
    """
    match report.status:
        case ResultStatus.FINAL:
            return "corrected" if report.left.as_correction else "final"
        case ResultStatus.WITHHELD if not report.left.version:
            return "final"  # nothing was ever reported that this could correct
        case _:
            return _STATUS[report.status]


_STATUS = {
    ResultStatus.PRELIMINARY: "preliminary",
    ResultStatus.AMENDED: "amended",
    ResultStatus.WITHHELD: "corrected",
    ResultStatus.WITHDRAWN: "entered-in-error",
}


def header(origin: Origin) -> str:
    """Return how the bundle begins, up to where its entries do."""
    head: Resource = {"resourceType": "Bundle"}
    if origin.rehearsal:
        head["meta"] = {"security": [PRACTICE]}
    head |= {"type": "transaction", "timestamp": _instant(origin.made)}
    return _text(head)[:-1]


def footer(*, empty: bool) -> str:
    """Return how it ends; FHIR knows no empty list, so without entries there is none."""
    return "}\n" if empty else "\n]}\n"


class Bundle:
    """Makes the entries of one bundle; nothing that several results share stands in it twice."""

    def __init__(self, origin: Origin) -> None:
        self._origin = origin
        self._there: set[int] = set()

    def entries_of(self, report: Report) -> str:
        """Return the entries of one report, the first of the bundle with what begins the list."""
        first = not self._there
        entries = [
            _text(self._entry(number, resource, replaces=replaces))
            for number, resource, replaces in self._resources(report)
            if self._is_new(number)
        ]
        if not entries:
            return ""
        return (',"entry":[\n' if first else ",\n") + ",\n".join(entries)

    def _is_new(self, number: UUID) -> bool:
        if number.int in self._there:
            return False
        self._there.add(number.int)
        return True

    def _resources(self, report: Report) -> Iterator[tuple[UUID, Resource, bool]]:
        """Yield each resource with its number, and whether it replaces what the receiver has."""
        number = self._origin.uuid
        yield number("patient", report.patient.key), self._patient(report), False
        for each in (report, *report.earlier):
            if each.reader is not None:
                who = number("operator", each.reader.key)
                yield who, self._practitioner(each.reader), False
            yield number("lot", f"{each.assay_id}:{each.kit.lot}"), self._device(each), False
            yield number("specimen", each.specimen_id), self._specimen(each), True
            for line in each.lines:
                if _is_said(each, line):
                    key = f"{each.id}:{line.key}"
                    yield number("observation", key), self._observation(each, line), True
        yield number("result", report.id), self._report(report), True

    def _entry(self, number: UUID, resource: Resource, *, replaces: bool) -> Resource:
        kind = resource["resourceType"]
        found = resource["identifier"][0]
        asked = f"identifier={quote(found['system'], safe='')}|{quote(found['value'], safe='')}"
        request = (
            {"method": "PUT", "url": f"{kind}?{asked}"}
            if replaces
            else {"method": "POST", "url": kind, "ifNoneExist": asked}
        )
        return {"fullUrl": number.urn, "resource": resource, "request": request}

    def _made(self, kind: str, number: UUID, system: str = UUIDS, value: str = "") -> Resource:
        made: Resource = {"resourceType": kind}
        if self._origin.rehearsal:
            made["meta"] = {"security": [PRACTICE]}
        return made | {"identifier": [{"system": system, "value": value or number.urn}]}

    def _identified(self, kind: str, who: Named, word: str, system: str | None) -> Resource:
        """Return somebody under the site's own identifier; under the number alone if it is erased."""
        number = self._origin.uuid(word, who.key)
        if who.id is None:
            return self._made(kind, number)
        # Without a system of the site the IDs of two bays would be taken for those of one.
        return self._made(kind, number, system or self._origin.uuid("system", word).urn, who.id)

    def _patient(self, report: Report) -> Resource:
        patient = report.patient
        made = self._identified("Patient", patient, "patient", self._origin.names.patient_system)
        if patient.name is not None:
            made["name"] = [{"text": patient.name}]
        if patient.born is not None:
            made["birthDate"] = patient.born.isoformat()
        return made

    def _practitioner(self, who: Named) -> Resource:
        system = self._origin.names.operator_system
        return self._identified("Practitioner", who, "operator", system)

    def _device(self, report: Report) -> Resource:
        kit = report.kit
        number = self._origin.uuid("lot", f"{report.assay_id}:{kit.lot}")
        made = self._made("Device", number) | {"lotNumber": kit.lot}
        if kit.expires is not None:
            made["expirationDate"] = kit.expires.isoformat()
        made["deviceName"] = [{"name": report.assay, "type": "user-friendly-name"}]
        return made

    def _specimen(self, report: Report) -> Resource:
        number = self._origin.uuid("specimen", report.specimen_id)
        kind: Resource = {"text": report.specimen}
        if report.specimen_code is not None:
            kind = {"coding": [{"system": SNOMED, "code": report.specimen_code}]} | kind
        made = self._made("Specimen", number) | {
            "type": kind,
            "subject": self._patient_of(report),
        }
        if report.collected is not None:
            made["collection"] = _timed("collected", report.collected)
        return made

    def _observation(self, report: Report, line: Line) -> Resource:
        number = self._origin.uuid("observation", f"{report.id}:{line.key}")
        code: Resource = {"text": line.name}
        if line.loinc is not None:
            code = {"coding": [{"system": LOINC, "code": line.loinc}]} | code
        made = self._made("Observation", number) | {
            "status": status_of(report),
            "category": [{"coding": [LABORATORY]}],
            "code": code,
            **self._common(report),
        }
        if line.outcome is None:
            absent = NOT_PERFORMED if report.lapsed else UNKNOWN
            made["dataAbsentReason"] = {"coding": [absent], "text": line.says}
        else:
            made["valueCodeableConcept"] = _value(line)
        meaning = None if line.outcome is None else INTERPRETATIONS.get(line.outcome)
        if meaning is not None:
            made["interpretation"] = [{"coding": [meaning]}]
        if report.notes:
            made["note"] = [{"text": each} for each in report.notes]
        made["method"] = {"text": report.assay}
        made["specimen"] = {"reference": self._origin.uuid("specimen", report.specimen_id).urn}
        lot = self._origin.uuid("lot", f"{report.assay_id}:{report.kit.lot}")
        made["device"] = {"reference": lot.urn}
        return made

    def _report(self, report: Report) -> Resource:
        number = self._origin.uuid("result", report.id)
        code: Resource = {"text": report.assay}
        if len(report.lines) == 1 and report.lines[0].loinc is not None:
            code = {"coding": [{"system": LOINC, "code": report.lines[0].loinc}]} | code
        together = (report, *report.earlier)
        return self._made("DiagnosticReport", number) | {
            "status": status_of(report),
            "category": [{"coding": [LAB_REPORT]}],
            "code": code,
            **self._common(report),
            "specimen": [
                {"reference": self._origin.uuid("specimen", each.specimen_id).urn}
                for each in together
            ],
            "result": [
                {"reference": self._origin.uuid("observation", f"{each.id}:{line.key}").urn}
                for each in together
                for line in each.lines
                if _is_said(each, line)
            ],
            "conclusion": " ".join((f"{report.says}.", *report.notes)),
        }

    def _common(self, report: Report) -> Resource:
        """Return who, when and by whom: the time of the specimen, and since when it stands so."""
        made: Resource = {"subject": self._patient_of(report)}
        taken = report.collected or report.applied
        if taken is not None:
            made |= _timed("effective", taken)
        made["issued"] = _instant(report.issued)
        if report.reader is not None:
            reader = self._origin.uuid("operator", report.reader.key)
            made["performer"] = [{"reference": reader.urn}]
        return made

    def _patient_of(self, report: Report) -> Resource:
        return {"reference": self._origin.uuid("patient", report.patient.key).urn}


def _is_said(report: Report, line: Line) -> bool:
    """Say whether anything is said of `line`: of what is open until the window, nothing is."""
    return line.outcome is not None or report.status is not ResultStatus.PRELIMINARY


def _value(line: Line) -> Resource:
    assert line.outcome is not None  # noqa: S101  # asked before
    made: Resource = {"text": line.says}
    codes = OUTCOMES.get(line.outcome, ()) if line.loinc is not None else ()
    if codes:
        made = {
            "coding": [
                {"system": each.system, "code": each.code, "display": each.display}
                for each in codes
            ]
        } | made
    return made


def _timed(word: str, when: When) -> Resource:
    """Return a moment as an instant, or as the stretch in which it was if it was stated."""
    if not when.stated:
        return {f"{word}DateTime": _instant(when.said)}
    return {f"{word}Period": {"start": _instant(when.earliest), "end": _instant(when.latest)}}


def _instant(at: datetime) -> str:
    return at.isoformat(timespec="milliseconds")


def _text(made: Resource) -> str:
    return json.dumps(made, ensure_ascii=False, separators=(",", ":"))


def bundle(origin: Origin, reports: Iterable[Report]) -> Iterator[str]:
    """Yield the bundle a piece at a time."""
    yield header(origin)
    made, empty = Bundle(origin), True
    for report in reports:
        empty = False
        yield made.entries_of(report)
    yield footer(empty=empty)
