"""BrAPI files against the schema that ships with the package."""

from __future__ import annotations

import json
from collections import Counter
from functools import cache
from importlib.resources import files
from typing import TYPE_CHECKING, Any, cast

from spikecheck.errors import ExchangeError

Json = dict[str, Any]

if TYPE_CHECKING:
    from collections.abc import Iterable

    from jsonschema import Draft202012Validator, ValidationError

# A season of a large programme is a few megabytes; more is another kind of file.
LARGEST_MB = 200
_MB = 1_000_000
_TYPES = {
    "string": "text", "integer": "a whole number", "number": "a number", "boolean": "true or false",
    "object": "an object", "array": "a list", "null": "null",
}  # fmt: skip
_SHOWN = 40
_ENTITY = "/result/data"
_LONGEST_SHOWN = 120


def brapi_schema() -> dict[str, Any]:
    """Return the JSON Schema (draft 2020-12); ``$defs`` has one entry an endpoint.

    Returns
    -------
    dict
        A fresh copy at every call.
    """
    text = files("spikecheck.exchange").joinpath("brapi-2.1.schema.json").read_text("utf-8")
    return cast("dict[str, Any]", json.loads(text))


def checked_response(text: str | bytes, endpoint: str) -> dict[str, Any]:
    """Return the list response of ``endpoint`` in ``text``, every field of the type it should have.

    Raises
    ------
    ExchangeError
        If it is no JSON, or a field is of another type; the message has the JSON pointer.
    """
    response = _parsed(text, endpoint)
    error = next(_validator(endpoint).iter_errors(response), None)
    if error is not None:
        raise _told(error, endpoint)
    return cast("dict[str, Any]", response)


def unknown_fields(response: dict[str, Any], endpoint: str) -> Counter[str]:
    """Return how often each field stands in ``response`` that the schema does not name."""
    schema = brapi_schema()
    found: Counter[str] = Counter()
    todo: list[tuple[Any, dict[str, Any], str]] = [(response, schema["$defs"][endpoint], "")]
    while todo:
        value, rules, path = todo.pop()
        while "$ref" in rules:
            rules = schema["$defs"][rules["$ref"].rpartition("/")[2]]
        if isinstance(value, list):
            todo += [(one, rules.get("items", {}), path) for one in value]
        elif isinstance(value, dict) and "properties" in rules:
            for key, inner in value.items():
                place = f"{path}/{key}"
                if key in rules["properties"]:
                    todo.append((inner, rules["properties"][key], place))
                else:
                    found[shown(f"{endpoint}{place.removeprefix(_ENTITY)}")] += 1
    return found


def shown(name: str) -> str:
    """Return a name of a file of others, safe and short enough to show."""
    return "".join(char if char.isprintable() else "?" for char in name[:_LONGEST_SHOWN])


def pointer(path: Iterable[str | int]) -> str:
    """Return a JSON pointer (RFC 6901)."""
    return "".join(f"/{str(part).replace('~', '~0').replace('/', '~1')}" for part in path)


def _parsed(text: str | bytes, endpoint: str) -> object:
    if len(text) > LARGEST_MB * _MB:
        raise ExchangeError(
            f"the file is larger than {LARGEST_MB} MB", where=endpoint,
            cure="Ask for it in several pages, and take them in one by one",
        )  # fmt: skip
    try:
        plain = text.decode("utf-8-sig") if isinstance(text, bytes) else text
        return json.loads(plain, parse_constant=_no_number)
    except UnicodeDecodeError as error:
        raise ExchangeError(
            f"byte {error.start + 1} is not UTF-8 text", where=endpoint, cure="Save it as UTF-8"
        ) from error
    except json.JSONDecodeError as error:
        raise ExchangeError(
            f"no JSON from line {error.lineno}, column {error.colno} on", where=endpoint,
            cure="Give the whole answer of the endpoint, unchanged",
        ) from error  # fmt: skip
    except ValueError as error:
        raise ExchangeError(
            "a number in it is none that can be", where=endpoint, cure="Correct it"
        ) from error
    except RecursionError as error:
        raise ExchangeError(
            "it is nested too deeply", where=endpoint, cure="A list of entities is asked for"
        ) from error


def _no_number(name: str) -> float:
    raise ValueError(name)


@cache
def _validator(endpoint: str) -> Draft202012Validator:
    from jsonschema import Draft202012Validator

    return Draft202012Validator(brapi_schema() | {"$ref": f"#/$defs/{endpoint}"})


def _told(error: ValidationError, endpoint: str) -> ExchangeError:
    where = f"{endpoint} {pointer(error.absolute_path) or '/'}"
    rule = error.validator_value
    if error.validator == "required":
        missing = next(
            one for one in cast("list[str]", rule) if one not in cast("Json", error.instance)
        )
        return ExchangeError(f"{missing} is missing", where=where, cure="Add it")
    found = json.dumps(error.instance, ensure_ascii=False, default=str)[:_SHOWN]
    if isinstance(error.instance, dict | list):
        found = _TYPES["object" if isinstance(error.instance, dict) else "array"]
    if error.validator == "enum":
        allowed = ", ".join(str(one) for one in cast("list[object]", rule) if one is not None)
        return ExchangeError(f"{found} is not allowed", where=where, cure=f"Give one of {allowed}")
    if error.validator == "type":
        names = [rule] if isinstance(rule, str) else cast("list[str]", rule)
        wanted = " or ".join(_TYPES[name] for name in names)
        return ExchangeError(f"{found} is of the wrong type", where=where, cure=f"Give {wanted}")
    return ExchangeError(
        f"{found} is out of range", where=where, cure=f"{error.validator} is {rule}"
    )
