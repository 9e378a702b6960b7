"""What a key of a TOML file may hold, in words: for messages and for the pages of keys."""

from collections.abc import Mapping, Sequence
from typing import Any

Schema = Mapping[str, Any]
"""A JSON schema as the validator makes it, with `$defs` at its top."""

UNITS: dict[str, str] = {
    "_kn_m3": "kN/m³",
    "_kg_m3": "kg/m³",
    "_kj_kg": "kJ/kg",
    "_kn_m": "kN/m",
    "_kn": "kN",
    "_l_s": "l/s",
    "_l_h": "l/h",
    "_m_s": "m/s",
    "_per_m2": "currency/m²",
    "_per_m3": "currency/m³",
    "_per_kg": "currency/kg",
    "_percent": "%",
    "minutes": "min",
    "_years": "years",
    "_mm": "mm",
    "_m2_s": "m²/s",
    "_m2": "m²",
    "_bar": "bar",
    "_gpa": "GPa",
    "_mpa": "MPa",
    "_kpa": "kPa",
    "_min": "min",
    "_deg": "°",
    "_kg": "kg",
    "_c": "°C",
    "_h": "h",
    "_l": "l",
    "_m": "m",
}
"""Ending of a key -> its unit; the longest ending that fits counts."""

_BOUNDS = (
    ("exclusiveMinimum", "> "),
    ("minimum", "≥ "),
    ("exclusiveMaximum", "< "),
    ("maximum", "≤ "),
)
_TYPES = {
    "number": "number",
    "integer": "whole number",
    "string": "text",
    "boolean": "true or false",
    "array": "list",
    "object": "table",
}


def unit_of(key: str) -> str:
    """Unit that the name of a key says, or `""`.

    `angle_min_deg` is in degrees and `mix_min` in minutes; `angle_min` would be a limit, so
    no key ends in `_min` unless it is a time.
    """
    for ending in sorted(UNITS, key=len, reverse=True):
        if key.endswith(ending):
            return UNITS[ending]
    return ""


def resolve(schema: Schema, top: Schema) -> Schema:
    """Follow a reference into `$defs`, and take the branch of a choice that is not null."""
    if "$ref" in schema:
        name = str(schema["$ref"]).rsplit("/", 1)[-1]
        return resolve({**top["$defs"][name], **{k: v for k, v in schema.items() if k != "$ref"}},
                       top)  # fmt: skip
    if "anyOf" in schema:
        branches = [s for s in schema["anyOf"] if s.get("type") != "null"]
        rest = {k: v for k, v in schema.items() if k != "anyOf"}
        return resolve({**branches[0], **rest}, top)
    return schema


def schema_at(top: Schema, path: Sequence[str | int]) -> Schema:
    """Schema of the value at a path of keys and indices, empty where there is none."""
    found: Schema = top
    for part in path:
        found = resolve(found, top)
        if isinstance(part, int):
            found = found.get("items", {})
        else:
            found = found.get("properties", {}).get(part) or found.get("additionalProperties", {})
    return resolve(found, top)


def range_text(schema: Schema) -> str:
    """Bounds of a number or of the length of a list, or `""`."""
    parts = [f"{sign}{schema[key]:.12g}" for key, sign in _BOUNDS if key in schema]
    least, most = schema.get("minItems"), schema.get("maxItems")
    if least is not None and least == most:
        parts.append(f"of exactly {least}")
    elif least is not None:
        parts.append(f"of at least {least}")
    elif most is not None:
        parts.append(f"of at most {most}")
    return " and ".join(parts)


def allowed_text(schema: Schema, path: Sequence[str | int] = ()) -> str:
    """What may stand there, in words, with the unit that its key names."""
    if "words" in schema:
        return str(schema["words"])
    if "enum" in schema:
        return " or ".join(str(word) for word in schema["enum"])
    if schema.get("format") == "date":
        return "date as 2027-05-03"
    kind = _TYPES.get(str(schema.get("type")), "")
    if "examples" in schema:
        kind += f" such as {', '.join(str(e) for e in schema['examples'])}"
    names = [part for part in path if isinstance(part, str)]
    unit = unit_of(names[-1]) if names and kind in {"number", "whole number"} else ""
    return " ".join(part for part in (kind, range_text(schema), unit) if part)
