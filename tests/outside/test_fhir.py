"""Bundles are FHIR as two libraries have it that were made elsewhere.

* fhirkit-rs: R4, version 4.0.1, the one that readbell writes.
* fhir.resources: R4B, which stands in for R4 in the resources used here.

Both find a resource without its status, a field that R4 has not, two values of one
observation and a time without a zone. Neither looks at the codes, nor at where a
reference leads: that is done by tests/exports/test_fhir.py.
"""

from __future__ import annotations

import json
from typing import Any

import fhirkit
import pytest
from fhir.resources.R4B import get_fhir_model_class

from exports.reports import EVERY_WAY, origin
from readbell.exports.fhir import bundle


def made(way: str, *, rehearsal: bool = False) -> str:
    """The bundle of one way in which a result can stand."""
    return "".join(bundle(origin(rehearsal=rehearsal), [EVERY_WAY[way]]))


@pytest.mark.parametrize("way", EVERY_WAY)
def test_a_bundle_is_one_of_r4b(way: str) -> None:
    """Each resource, and the whole."""
    text = made(way, rehearsal=True)
    kind = get_fhir_model_class("Bundle")
    found = kind.model_validate_json(text).model_dump()
    assert len(found["entry"]) == len(json.loads(text)["entry"])
    for each in json.loads(text)["entry"]:
        resource = each["resource"]
        get_fhir_model_class(resource["resourceType"]).model_validate(resource)


@pytest.mark.parametrize("way", EVERY_WAY)
def test_a_bundle_is_one_of_r4(way: str) -> None:
    """Of version 4.0.1 itself: not an issue is found, and it reads back as it was."""
    text = made(way, rehearsal=True)
    assert fhirkit.validate(text) == []
    for each in json.loads(text)["entry"]:
        assert fhirkit.validate(json.dumps(each["resource"])) == []


@pytest.mark.parametrize("fault", ["status", "unknown", "zone"])
def test_the_judge_is_awake(fault: str) -> None:
    """One that finds nothing in a spoiled bundle proves nothing of a good one."""
    found: dict[str, Any] = json.loads(made("final positive"))
    seen = next(
        each["resource"]
        for each in found["entry"]
        if each["resource"]["resourceType"] == "Observation"
    )
    match fault:
        case "status":
            del seen["status"]
        case "unknown":
            seen["outcome"] = "positive"
        case _:
            seen["effectiveDateTime"] = "2026-03-29T14:00:10"
    assert fhirkit.validate(json.dumps(seen))
    with pytest.raises(ValueError, match=r"\w"):
        get_fhir_model_class("Observation").model_validate(seen)
