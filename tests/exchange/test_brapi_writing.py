"""BrAPI v2.1 as written: names and types of the open specification, and no loss."""

from __future__ import annotations

import json
import time

import jsonschema
import pytest
from hypothesis import given

from spikecheck.exchange import (
    CheckedSpike,
    CrossingProject,
    ExchangeSet,
    brapi_schema,
    brapi_texts,
    exchange_set,
    from_brapi,
    to_brapi,
)
from spikecheck.vocabulary import SpikeRecord
from tests.exchange.exchanged import MOMENT, SHA, exchanges, one_of_each

# Field names as the open BrAPI v2.1 specification spells them (Germplasm module, schemas of
# crosses and crossing projects), typed here anew so that a slip in the shipped schema shows.
PARENT = {"germplasmDbId", "germplasmName", "observationUnitDbId", "observationUnitName",
          "parentType"}  # fmt: skip
NAMES = {
    "crossingprojects": {
        "crossingProjectDbId", "crossingProjectName", "crossingProjectDescription",
        "commonCropName", "programDbId", "programName", "potentialParents",
    },
    "plannedcrosses": {
        "plannedCrossDbId", "plannedCrossName", "crossType", "crossingProjectDbId",
        "crossingProjectName", "parent1", "parent2", "additionalInfo", "externalReferences",
    },
    "crosses": {
        "crossDbId", "additionalInfo", "crossingProjectDbId", "crossingProjectName", "crossName",
        "plannedCrossDbId", "plannedCrossName", "crossType", "parent1", "parent2",
        "pollinationEvents", "crossAttributes", "externalReferences",
    },
}  # fmt: skip
VALIDATORS = {
    endpoint: jsonschema.Draft202012Validator(brapi_schema() | {"$ref": f"#/$defs/{endpoint}"})
    for endpoint in NAMES
}


@given(exchanges)
def test_what_is_written_reads_back(exchanged):
    received = from_brapi(brapi_texts(exchanged), received_at=MOMENT)
    assert received.exchanged == exchanged
    assert received.ignored == ()
    assert received.left_out == ()


@given(exchanges)
def test_every_response_follows_the_schema_and_has_only_fields_of_the_standard(exchanged):
    for endpoint, response in to_brapi(exchanged).items():
        VALIDATORS[endpoint].validate(response)
        assert set(response) == {"metadata", "result"}
        data = response["result"]["data"]
        pagination = response["metadata"]["pagination"]
        assert pagination["currentPage"] == 0
        assert pagination["totalCount"] == len(data)
        for entity in data:
            assert set(entity) <= NAMES[endpoint]
            for side in {"parent1", "parent2"} & set(entity):
                assert set(entity[side]) <= PARENT
            for event in entity.get("pollinationEvents", ()):
                assert set(event) <= {
                    "pollinationTimeStamp", "pollinationSuccessful", "pollinationNumber",
                }  # fmt: skip
            for attribute in entity.get("crossAttributes", ()):
                assert set(attribute) == {"crossAttributeName", "crossAttributeValue"}
                assert all(isinstance(value, str) for value in attribute.values())


def test_the_schema_is_one():
    jsonschema.Draft202012Validator.check_schema(brapi_schema())


def test_a_spike_as_others_see_it():
    spike, control = to_brapi(one_of_each())["crosses"]["result"]["data"]
    assert spike["crossDbId"] == "X-1:1"
    assert spike["crossType"] == "BIPARENTAL"
    assert spike["plannedCrossDbId"] == "X-1"
    assert spike["crossingProjectName"] == "North"
    assert spike["parent1"] == {
        "germplasmDbId": "Tarn", "germplasmName": "Tarn", "parentType": "FEMALE",
    }  # fmt: skip
    assert spike["parent2"]["parentType"] == "MALE"
    assert spike["pollinationEvents"] == [
        {
            "pollinationNumber": "1",
            "pollinationTimeStamp": "2026-05-04T09:00:00+00:00",
            "pollinationSuccessful": True,
        }
    ]
    told = [(one["crossAttributeName"], one["crossAttributeValue"])
            for one in spike["crossAttributes"]]  # fmt: skip
    assert told == [
        ("verdict of the check", "pass"),
        ("leftover anthers found", "1"),
        ("photo SHA-256", SHA),
        ("growth stage (BBCH)", "57"),
        ("emasculated by", "Ada"),
    ]
    assert set(spike["additionalInfo"]) == {"spikecheck"}
    assert control["crossType"] == "SELF"
    assert control["parent1"]["parentType"] == "SELF"
    assert "parent2" not in control
    assert control["pollinationEvents"] == []


def test_projects_and_plans_as_others_see_them():
    responses = to_brapi(one_of_each())
    (project,) = responses["crossingprojects"]["result"]["data"]
    assert (project["crossingProjectName"], project["commonCropName"]) == ("North", "wheat")
    (plan,) = responses["plannedcrosses"]["result"]["data"]
    assert plan["parent1"]["observationUnitName"] == "plot 12"
    assert plan["additionalInfo"]["spikecheck"]["female"]["pedigree"] == "Brinn/Corve"


def test_projects_are_those_the_crosses_name():
    whole = one_of_each()
    cross, parent = whole.planned[0].cross, whole.planned[0].female
    assert exchange_set([cross], [parent], whole.spikes) == whole
    assert exchange_set([], [], []) == ExchangeSet()
    assert whole.projects == (CrossingProject("North", "wheat"),)


def test_texts_are_json_in_any_script():
    spike = SpikeRecord("交-1", 1, "wheat", "Tarn", "Ölfeld")
    text = brapi_texts(ExchangeSet(spikes=(CheckedSpike(spike),)))["crosses"]
    assert "交-1" in text
    assert json.loads(text)["result"]["data"][0]["parent2"]["germplasmName"] == "Ölfeld"


@pytest.mark.parametrize("count", [2_000])
def test_a_season_is_read_in_seconds(count):
    spike = one_of_each().spikes[0].record
    fields = {name: getattr(spike, name) for name in SpikeRecord.__slots__}
    spikes = tuple(CheckedSpike(SpikeRecord(**fields | {"spike": k + 1})) for k in range(count))
    texts = brapi_texts(ExchangeSet(spikes=spikes))
    begun = time.process_time()
    assert from_brapi(texts, received_at=MOMENT).exchanged.spikes == spikes
    assert time.process_time() - begun < 6
