"""The structure of a course file, checked by its JSON Schema; each keyword answered in plain words."""

import json
import re
from collections.abc import Iterator
from decimal import Decimal
from functools import cache
from math import isfinite
from pathlib import Path as FilePath
from typing import Any

from django.utils.translation import gettext as _
from jsonschema import Draft202012Validator, ValidationError, validators

from rehab.files.faults import Faults, Path, did_you_mean, listed, shown
from rehab.files.right_answers import what_would_be_right

SCHEMA_FILE = FilePath(__file__).resolve().parents[2] / "docs" / "schemas" / "course.schema.json"


def check_structure(document: object, faults: Faults) -> None:
    """Note every place where the document does not follow the schema."""
    for error in course_validator().iter_errors(document):
        for path, message in _in_words(error):
            faults.add(path, message)


@cache
def course_validator() -> Any:
    """Make the validator once; its numbers are decimals, so that 0.1 is exact."""
    schema = json.loads(SCHEMA_FILE.read_text(encoding="utf-8"), parse_float=Decimal)
    return _ExactValidator(_spelt_out(schema, schema["$defs"]))


def _spelt_out(schema: Any, definitions: dict[str, Any]) -> Any:
    """Put each definition where it is referred to, so that no reference is looked up for each course."""
    if isinstance(schema, list):
        return [_spelt_out(item, definitions) for item in schema]
    if not isinstance(schema, dict):
        return schema
    name = schema.get("$ref", "").removeprefix("#/$defs/")
    whole = {**definitions[name], **schema} if name else schema
    return {key: _spelt_out(value, definitions) for key, value in whole.items() if key not in ("$ref", "$defs")}


def _is_number(_checker: object, value: object) -> bool:
    if isinstance(value, Decimal):
        return value.is_finite()
    return isinstance(value, int | float) and not isinstance(value, bool) and isfinite(value)


def _is_whole(checker: object, value: object) -> bool:
    return _is_number(checker, value) and value == int(value)  # type: ignore[call-overload]


def _has_few_decimals(_validator: object, most: int, value: object, _schema: object) -> Iterator[ValidationError]:
    """Check our own keyword: `multipleOf` 0.1 would refuse 69.6 in every reader that counts in binary."""
    if not _is_number(None, value):
        return
    exponent = exact(value).normalize().as_tuple().exponent
    if isinstance(exponent, int) and -exponent > most:
        yield ValidationError(f"more than {most} decimals")


def _fits_pattern(_validator: object, pattern: str, value: object, _schema: object) -> Iterator[ValidationError]:
    """Read "$" as JSON Schema does: the end of the text. Python's also stands before a last line break."""
    if isinstance(value, str) and not re.search(re.sub(r"\$$", r"\\Z", pattern), value):
        yield ValidationError(f"does not fit {pattern}")


def _if_then(validator: Any, condition: dict[str, Any], value: object, schema: dict[str, Any]) -> Iterator[Any]:
    """Look at the one word that a condition of this schema asks for, instead of validating all over again."""
    [(key, wanted)] = condition["properties"].items()
    words = wanted["enum"] if "enum" in wanted else [wanted["const"]]
    if isinstance(value, dict) and value.get(key) in words:
        yield from validator.descend(value, schema["then"], schema_path="then")


def exact(value: object) -> Decimal:
    """Read a number of the file without rounding: 72.1 is 72.1, never 72.0999."""
    return value if isinstance(value, Decimal) else Decimal(repr(value))


_ExactValidator = validators.extend(
    Draft202012Validator,
    {"decimalsAtMost": _has_few_decimals, "pattern": _fits_pattern, "if": _if_then},
    type_checker=Draft202012Validator.TYPE_CHECKER.redefine_many({"number": _is_number, "integer": _is_whole}),
)


def _in_words(error: ValidationError) -> Iterator[tuple[Path, str]]:
    path: Path = tuple(error.absolute_path)
    if error.validator == "required":
        yield from _missing_keys(error, path)
    elif error.validator == "additionalProperties":
        yield from _unknown_keys(error, path)
    elif error.validator in ("enum", "const"):
        yield path, _not_one_of(error)
    else:
        yield path, _cannot_be_used(error)


def _missing_keys(error: ValidationError, path: Path) -> Iterator[tuple[Path, str]]:
    for key in error.validator_value:
        if key not in error.instance:
            yield (*path, key), _("This key is missing.") + " " + _right_for_key(error, key)


def _right_for_key(error: ValidationError, key: str) -> str:
    return what_would_be_right(error.schema["properties"][key])


def _unknown_keys(error: ValidationError, path: Path) -> Iterator[tuple[Path, str]]:
    known = list(error.schema["properties"])
    for key in error.instance:
        if key not in known:
            hint = did_you_mean(key, known) or " " + _("The keys here are: %(keys)s.") % {"keys": listed(known)}
            yield (*path, key), _("This key is not known here.") + hint


def _not_one_of(error: ValidationError) -> str:
    values = [error.validator_value] if error.validator == "const" else error.validator_value
    words = [value for value in values if isinstance(value, str)]
    hint = did_you_mean(error.instance, words) if isinstance(error.instance, str) else ""
    return _cannot_be_used(error, hint)


def _cannot_be_used(error: ValidationError, hint: str = "") -> str:
    problem = _("%(value)s cannot be used here.") % {"value": shown(error.instance)}
    return problem + hint + " " + what_would_be_right(error.schema)
