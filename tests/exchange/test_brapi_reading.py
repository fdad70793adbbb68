"""BrAPI files of others: what is taken in, ignored, left out, refused."""

from __future__ import annotations

import json

import pytest
from hypothesis import given
from hypothesis import strategies as st

from spikecheck.errors import ExchangeError, SpikecheckError, UsageError
from spikecheck.exchange import brapi_texts, from_brapi
from tests.exchange.exchanged import MOMENT, one_of_each

TARN = {"germplasmName": "Tarn", "parentType": "FEMALE"}
ALVA = {"germplasmDbId": "g-2", "germplasmName": "Alva", "parentType": "MALE"}


def read(endpoint: str, *entities, **metadata):
    text = json.dumps({"metadata": metadata, "result": {"data": list(entities)}})
    return from_brapi({endpoint: text}, received_at=MOMENT)


def test_crosses_of_others():
    received = read(
        "crosses",
        {"crossDbId": "c-7", "crossName": "Tarn x Alva", "plannedCrossDbId": "p-3",
         "parent1": ALVA, "parent2": TARN, "crossType": "BIPARENTAL",
         "pollinationTimeStamp": "2026-05-01T00:00:00Z", "colour": "red", "size": 3,
         "pollinationEvents": [{"pollinationTimeStamp": "2026-05-04T08:00:00Z"},
                               {"pollinationTimeStamp": "2026-05-04T11:00:00+02:00"}],
         "crossAttributes": [{"crossAttributeName": "bag", "crossAttributeValue": "glassine"}]},
        {"crossDbId": "c-8", "plannedCrossDbId": "p-3", "parent1": TARN, "parent2": ALVA,
         "additionalInfo": {"colour": "blue"}, "pollinationEvents": None},
        {"crossDbId": "c-9", "crossType": "OPEN_POLLINATED", "parent1": TARN},
    )  # fmt: skip
    one, other = (spike.record for spike in received.exchanged.spikes)
    assert (one.cross, one.spike, one.female, one.male) == ("p-3", 1, "Tarn", "Alva")
    assert (other.cross, other.spike, other.crop) == ("p-3", 2, "wheat")
    assert (one.pollinated_at, one.pollinated_male) == (MOMENT, "Alva")
    assert dict(received.ignored) == {
        "crosses/colour": 1,
        "crosses/size": 1,
        "crosses/additionalInfo/colour": 1,
        "crosses/crossAttributes bag": 1,
        "crosses/pollinationEvents before the last": 1,
    }
    assert received.left_out == (
        "crosses /result/data/2: crosses of type OPEN_POLLINATED are not taken in",
    )


def test_plans_of_others():
    texts = {
        "crossingprojects": {"result": {"data": [
            {"crossingProjectDbId": "7", "crossingProjectName": "North", "commonCropName": "barley"}
        ]}},
        "plannedcrosses": {"result": {"data": [
            {"plannedCrossDbId": "p-3", "crossingProjectName": "North", "parent2": ALVA,
             "parent1": TARN | {"observationUnitName": "plot 12"}, "status": "TODO"},
        ]}},
    }  # fmt: skip
    received = from_brapi(
        {key: json.dumps(value).encode() for key, value in texts.items()}, received_at=MOMENT
    )
    (plan,) = received.exchanged.planned
    assert (plan.cross.id, plan.cross.crop, plan.cross.project) == ("p-3", "barley", "North")
    assert (plan.cross.created_at, plan.female.place, plan.male) == (MOMENT, "plot 12", None)
    assert received.ignored == (("plannedcrosses/status", 1),)


def test_a_page_of_several_is_told():
    received = read("crosses", pagination={"totalPages": 3, "currentPage": 0})
    assert received.left_out == ("crosses: this is one page of 3; take in the others too",)


CROSS = {"crossDbId": "c", "parent1": TARN, "parent2": ALVA}


def attribute(name, value):
    return CROSS | {
        "crossAttributes": [{"crossAttributeName": name, "crossAttributeValue": value}]
    }  # fmt: skip


def own(**fields):
    return CROSS | {"additionalInfo": {"spikecheck": {"spike": 1} | fields}}


@pytest.mark.parametrize(
    ("entity", "said"),
    [
        (CROSS | {"crossName": 7}, r"crosses /result/data/0/crossName: 7 is of the.*Give text"),
        (CROSS | {"crossType": "TRIPLE"}, 'crossType: "TRIPLE" is not allowed. Give one of BIPAR'),
        (CROSS | {"parent1": []}, "/result/data/0/parent1: a list is of the wrong type"),
        ("c", '/result/data/0: "c" is of the wrong type. Give an object'),
        (CROSS | {"parent2": TARN}, "no parent is of type MALE"),
        (CROSS | {"parent1": {"parentType": "FEMALE"}}, "parent1: germplasmName is missing"),
        (CROSS | {"parent1": TARN | {"germplasmName": "a\x1b"}}, "parent1/germplasmName: .*U.001B"),
        ({"parent1": TARN, "parent2": ALVA}, "/result/data/0: plannedCrossDbId is missing"),
        (CROSS | {"crossDbId": "c" * 65}, "/crossDbId: .*the most is 64"),
        (CROSS | {"pollinationEvents": [{"pollinationTimeStamp": "today"}]},
         "/pollinationEvents/0/pollinationTimeStamp: today is no moment"),
        (CROSS | {"pollinationEvents": [{"pollinationTimeStamp": "2026-05-04T09:00:00"}]},
         "no moment with time zone"),
        (CROSS | {"pollinationEvents": [{"pollinationTimeStamp": "0001-01-01T00:00:00+14:00"}]},
         "no moment with time zone"),
        (CROSS | {"pollinationEvents": [{"pollinationSuccessful": "yes"}]}, "Give true or false"),
        (attribute("verdict of the check", "good"), "crossAttributes/0/.*'good' cannot be"),
        (attribute("leftover anthers found", "-1"), "Give a whole number as text"),
        (attribute("growth stage (BBCH)", "100"), "Give 0 to 99"),
        (attribute("photo SHA-256", "xyz"), "64 hexadecimal digits"),
        (own(spike=0), "additionalInfo/spikecheck/spike: 0 is out of range. minimum is 1"),
        (own(computedVerdict="fine"), "spikecheck/computedVerdict"),
        (own(thirds=[{"seeds": 3, "florets": 2}] * 3), "spikecheck/thirds: 3 seeds cannot come"),
        (CROSS | {"additionalInfo": {"spikecheck": {}}}, "spikecheck: spike is missing. Add it"),
    ],
)  # fmt: skip
def test_what_does_not_follow_is_told_with_its_pointer(entity, said):
    with pytest.raises(ExchangeError, match=said) as caught:
        read("crosses", entity)
    assert caught.value.cure


@pytest.mark.parametrize(
    ("text", "said"),
    [
        ("", "no JSON from line 1, column 1"),
        ("[1,\n2", "no JSON from line 2"),
        ("[]", "crosses /: a list is of the wrong type. Give an object"),
        ("{}", "result is missing"),
        ('{"result": {"data": [NaN]}}', "a number in it is none"),
        ('{"result": {"data": [' + "9" * 5_000 + "]}}", "a number in it is none"),
        ("[" * 200_000, "nested too deeply"),
        ('{"result": {"data": ' + "[" * 500 + "]" * 500 + "}}", "wrong type"),
        (b'{"result": "\xff"}', "byte 13 is not UTF-8"),
    ],
)
def test_no_list_response(text, said):
    with pytest.raises(ExchangeError, match=said):
        from_brapi({"crosses": text}, received_at=MOMENT)


def test_a_file_too_large_is_not_read(monkeypatch):
    monkeypatch.setattr("spikecheck.exchange.brapi_checking.LARGEST_MB", 0)
    with pytest.raises(ExchangeError, match="larger than 0 MB"):
        from_brapi({"crosses": "{}"}, received_at=MOMENT)


def test_other_endpoints_are_refused():
    with pytest.raises(UsageError, match="germplasm is no endpoint"):
        from_brapi({"germplasm": "{}"}, received_at=MOMENT)


def test_deep_additional_info_is_ignored():
    deep = json.loads("[" * 400 + "]" * 400)
    received = read("crosses", CROSS | {"additionalInfo": {"deep": deep}})
    assert received.ignored == (("crosses/additionalInfo/deep", 1),)


def paths(value, path=()):
    """Every place in a JSON value."""
    yield path
    inner = value.items() if isinstance(value, dict) else enumerate(
        value if isinstance(value, list) else ()
    )  # fmt: skip
    for key, one in inner:
        yield from paths(one, (*path, key))


WHOLE = {endpoint: json.loads(text) for endpoint, text in brapi_texts(one_of_each()).items()}
PLACES = [path for path in paths(WHOLE) if len(path) > 1]
odd = st.one_of(
    st.none(), st.booleans(), st.integers(), st.floats(allow_nan=False, allow_infinity=False),
    st.text(max_size=5), st.just([]), st.just({}), st.just([{}]), st.just({"spikecheck": {}}),
)  # fmt: skip


@given(st.sampled_from(PLACES), odd)
def test_one_value_changed_never_crashes(path, value):
    texts = json.loads(json.dumps(WHOLE))
    place = texts
    for key in path[:-1]:
        place = place[key]
    place[path[-1]] = value
    refused = None
    try:
        from_brapi({key: json.dumps(one) for key, one in texts.items()}, received_at=MOMENT)
    except SpikecheckError as error:
        refused = error
    assert refused is None or isinstance(refused, ExchangeError)
