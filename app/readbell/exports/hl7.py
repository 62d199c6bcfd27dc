"""Results as messages ORU^R01 of HL7 version 2.5.1, one for each, in one batch file.

Which instant stands where (HL7 2.5.1, chapters 4 and 7): the specimen's in OBR-7, OBX-14
and SPM-17, the reading's in OBX-19, and since when the result stands as it does in OBR-22.
OBX-11 is P for what was seen early, F for a final result, C for one that corrects what was
reported, X where there is no value, and W (or X, as the receiver takes it) for what was
taken back. Table 0078 of 2.5.1 has no word for positive or negative: A and N are sent.

The control id in MSH-10 is the same whenever the same result leaves in the same state, so
a receiver that drops what it has seen hears of each change once.
"""

from __future__ import annotations

import base64
from typing import TYPE_CHECKING

from readbell.core.reading.interpretation import Outcome
from readbell.core.results.status import ResultStatus
from readbell.exports.codes import LOINC, OUTCOMES

if TYPE_CHECKING:
    from collections.abc import Iterable, Iterator
    from datetime import datetime

    from readbell.exports.report import Line, Origin, Report, When

END = "\r"
"""Ends a segment."""
SIGNS = r"^~\&"
_ESCAPES = {"|": "\\F\\", "^": "\\S\\", "&": "\\T\\", "~": "\\R\\", "\\": "\\E\\"}
TABLES = {LOINC: "LN", "http://snomed.info/sct": "SCT"}
"""Names of code systems in table 0396."""
ABNORMAL = {Outcome.POSITIVE: "A", Outcome.NEGATIVE: "N"}
OBSERVATIONS = {
    ResultStatus.PRELIMINARY: "P",
    ResultStatus.FINAL: "F",
    ResultStatus.AMENDED: "C",
    ResultStatus.WITHHELD: "C",
}
"""Status of an observation, table 0085."""
LONGEST_CONTROL_ID = 20


def escaped(text: str) -> str:
    """Return `text` so that no sign of it parts fields or ends a segment (HL7 2.5.1, 2.7)."""
    return "".join(_ESCAPES.get(sign) or _visible(sign) for sign in text)


def _visible(sign: str) -> str:
    """Return `sign`, or its number where it would end a segment or move something."""
    return sign if sign >= " " and sign != "\x7f" else f"\\X{ord(sign):02X}\\"


def header(origin: Origin) -> str:
    """Return how the file, and the one batch in it, begin."""
    sent = (*_between(origin), _instant(origin.made))
    return "".join(f"{name}|{SIGNS}|{'|'.join(sent)}{END}" for name in ("FHS", "BHS"))


def footer(count: int) -> str:
    """Return how both end."""
    return f"BTS|{count}{END}FTS|1{END}"


def message(origin: Origin, report: Report) -> str:
    """Return the message of one result; what came to nothing before it has orders of its own."""
    segments = [_msh(origin, report), _pid(origin, report)]
    for place, each in enumerate((report, *report.earlier), 1):
        segments += _order(origin, each, place)
    return "".join(f"{each}{END}" for each in segments)


def batch(origin: Origin, reports: Iterable[Report]) -> Iterator[str]:
    """Yield the file a piece at a time."""
    yield header(origin)
    count = 0
    for report in reports:
        count += 1
        yield message(origin, report)
    yield footer(count)


def _between(origin: Origin) -> tuple[str, ...]:
    names = origin.names
    return (
        escaped(names.sending_application),
        escaped(names.sending_facility or origin.bay),
        escaped(names.receiving_application),
        escaped(names.receiving_facility),
    )


def _segment(name: str, fields: dict[int, str]) -> str:
    """Return a segment with `fields` by their number; what follows the last is left out."""
    last = max((number for number, each in fields.items() if each), default=0)
    return "|".join((name, *(fields.get(number, "") for number in range(1, last + 1))))


def _msh(origin: Origin, report: Report) -> str:
    return "|".join(
        (
            "MSH",
            SIGNS,
            *_between(origin),
            _instant(origin.made),
            "",
            "ORU^R01^ORU_R01",
            control_id(origin, report),
            "T" if origin.rehearsal else "P",
            "2.5.1",
            *("",) * 5,
            "UNICODE UTF-8",
        )
    )


def control_id(origin: Origin, report: Report) -> str:
    """Return the same 20 letters for one result in one state, by which a receiver knows it."""
    left = report.left
    state = f"{report.id}:{left.version}:{'c' if left.as_correction else ''}"
    letters = base64.b32encode(origin.uuid("message", state).bytes).decode()
    return letters[:LONGEST_CONTROL_ID]


def _pid(origin: Origin, report: Report) -> str:
    patient, names = report.patient, origin.names
    authority = escaped(names.patient_authority or names.sending_facility or origin.bay)
    system = names.patient_system or ""
    if system.startswith("urn:oid:"):
        authority += f"&{escaped(system.removeprefix('urn:oid:'))}&ISO"
    # Somebody whose ID is erased has to bear some other: here the number that is made of the key.
    known = str(origin.uuid("patient", patient.key)) if patient.id is None else patient.id
    kind = "PI" if patient.id is None else "MR"
    # Of one text nobody can say which word is the family's: D is a name as it is shown.
    name = "^^^^^^U" if patient.name is None else f"{escaped(patient.name)}^^^^^^D"
    return _segment(
        "PID",
        {
            1: "1",
            3: f"{escaped(known)}^^^{authority}^{kind}",
            5: name,
            7: "" if patient.born is None else f"{patient.born:%Y%m%d}",
        },
    )


def _order(origin: Origin, report: Report, place: int) -> Iterator[str]:
    taken = report.collected or report.applied
    facility = escaped(origin.names.sending_facility or origin.bay)
    service = f"{escaped(report.assay_id)}^{escaped(report.assay)}^L"
    if len(report.lines) == 1 and report.lines[0].loinc is not None:
        service = _coded(report.lines[0])
    yield _segment(
        "OBR",
        {
            1: str(place),
            3: f"{origin.uuid('result', report.id)}^{facility}",
            4: service,
            7: "" if taken is None else _instant(taken.said),
            22: _instant(report.issued),
            25: _order_status(origin, report),
        },
    )
    for number, note in enumerate(report.notes, 1):
        yield _segment("NTE", {1: str(number), 2: "L", 3: escaped(note)})
    for number, line in enumerate(_said(report), 1):
        yield _obx(origin, report, line, number)
    kind = f"^{escaped(report.specimen)}"
    if report.specimen_code is not None:
        kind = f"{escaped(report.specimen_code)}^{escaped(report.specimen)}^SCT"
    yield _segment(
        "SPM",
        {
            1: str(place),
            2: f"^{origin.uuid('specimen', report.specimen_id)}&{facility}",
            4: kind,
            17: _stretch(report.collected),
        },
    )


def _said(report: Report) -> Iterator[Line]:
    """Yield the lines of which something is said: of what is open until the window, nothing is."""
    for line in report.lines:
        if line.outcome is not None or report.status is not ResultStatus.PRELIMINARY:
            yield line


def _obx(origin: Origin, report: Report, line: Line, number: int) -> str:
    taken = report.collected or report.applied
    status = observation_status(origin, report, line)
    kind, value = ("", "") if status == "X" else _value(line)
    reader = report.reader
    return _segment(
        "OBX",
        {
            1: str(number),
            2: kind,
            3: _coded(line),
            5: value,
            8: "" if line.outcome is None else ABNORMAL.get(line.outcome, ""),
            11: status,
            14: "" if taken is None else _instant(taken.said),
            16: "" if reader is None or reader.id is None else escaped(reader.id),
            17: f"{escaped(report.assay_id)}^{escaped(report.assay)}^L",
            18: escaped(report.kit.lot),
            19: "" if report.read is None else _instant(report.read),
            23: escaped(origin.names.organisation or origin.bay),
        },
    )


def observation_status(origin: Origin, report: Report, line: Line) -> str:
    """Return OBX-11 of one line."""
    if report.status is ResultStatus.WITHDRAWN:
        return origin.names.withdrawn
    if line.outcome is None and (report.lapsed or not report.left.version):
        return "X"
    return "C" if report.left.as_correction else OBSERVATIONS[report.status]


def _order_status(origin: Origin, report: Report) -> str:
    """Return OBR-25, of table 0123, which has no W."""
    if report.status is ResultStatus.WITHDRAWN:
        return "X" if origin.names.withdrawn == "X" else "C"
    if report.status is ResultStatus.WITHHELD and not report.left.version:
        return "F"  # nothing was ever reported that this could correct
    return "C" if report.left.as_correction else OBSERVATIONS[report.status]


def _coded(line: Line) -> str:
    if line.loinc is None:
        return f"{escaped(line.key)}^{escaped(line.name)}^L"
    return f"{line.loinc}^{escaped(line.name)}^LN"


def _value(line: Line) -> tuple[str, str]:
    """Return OBX-2 and OBX-5: codes where the assay has one, else the words."""
    codes = () if line.loinc is None or line.outcome is None else OUTCOMES.get(line.outcome, ())
    if not codes:
        return "ST", escaped(line.says)
    return "CE", "^".join(
        f"{each.code}^{escaped(each.display)}^{TABLES[each.system]}" for each in codes
    )


def _stretch(when: When | None) -> str:
    """Return a moment as a DR: a stated one from its earliest to its latest."""
    if when is None:
        return ""
    if not when.stated:
        return _instant(when.said)
    return f"{_instant(when.earliest)}^{_instant(when.latest)}"


def _instant(at: datetime) -> str:
    """Return an instant as a TS, with milliseconds and its offset."""
    return f"{at:%Y%m%d%H%M%S}.{at.microsecond // 1000:03d}{at:%z}"[:23]
