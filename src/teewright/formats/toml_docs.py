"""Pages of the keys of a TOML file, made from its model: docs/kit.md and docs/site.md."""

from collections.abc import Iterator
from typing import Any

from teewright.formats.kit_schema import KitTable
from teewright.formats.site_schema import SiteTable
from teewright.formats.toml_common import Table
from teewright.formats.toml_schema import Schema, allowed_text, resolve, unit_of

_KIT_HEAD = """# The kit file

What the contractor owns, buys and has decided, in one TOML file in UTF-8. The unit of a number
is the end of its key's name. Every key of a table must be there unless the last column gives
what is taken without it; a key that is not on this page is refused. `teewright demo` writes an
invented kit to start from.

Make-ready work has five kinds, and `[rates.make_ready]` prices each of them: `"re-cut"`,
`"remove intrusion"`, `"cut roots"`, `"descale"` and `"find opening"`.

Between two points of `thickness` the thickness runs straight; between two points of
`working_time` or `release_time` the time follows the Arrhenius law. Nothing is extrapolated:
outside the points the design is refused with a reason. Between two points of `derating` the
share runs straight.
"""
_SITE_HEAD = """# The site file

What is known of the place besides the survey, in one TOML file in UTF-8. The unit of a number
is the end of its key's name. Every key may be left out unless the last column says that it must
be there; what is then assumed comes from `[defaults]` and is listed among the findings. A key
that is not on this page is refused.

Levels are above one datum of your choice. Between the two nodes of a run they run straight. A
note in `[[connections]]` belongs to the connection nearest to its chainage within 0.5 m; give
the clock position as well where two stand close together.

Between two times of `air_path` and of `water_levels` the value runs straight. Times are those of
the place, without a time zone.
"""


def kit_page() -> str:
    """The page docs/kit.md."""
    return page(KitTable, _KIT_HEAD)


def site_page() -> str:
    """The page docs/site.md."""
    return page(SiteTable, _SITE_HEAD)


def page(model: type[Table], head: str) -> str:
    """A page of the keys of a model.

    Args:
        model: Model of the whole file.
        head: What stands above the tables.
    """
    top = model.model_json_schema()
    note = "Made by `python docs/make_pages.py` from the models; do not edit."
    parts = [f"{head.rstrip()}\n\n{note}\n"]
    for heading, schema in _tables(top, top, ""):
        text = str(schema.get("description", ""))
        parts.append("\n".join([f"## {heading}", "", text, "", *_rows(schema, top), ""]))
    return "\n".join(parts)


def _tables(schema: Schema, top: Schema, name: str) -> Iterator[tuple[str, Schema]]:
    """The table itself, then those below it, each with its heading."""
    yield name or "Top of the file", schema
    stem = name.strip("[]`")
    for key, value in schema.get("properties", {}).items():
        below = resolve(value, top)
        path = f"{stem}.{key}" if stem else key
        item = resolve(below["items"], top) if "items" in below else {}
        if "properties" in below:
            yield from _tables(below, top, f"`[{path}]`")
        elif "properties" in item:
            # lists of small tables are written inside their table: { a = 1, b = 2 }
            heading = f"`[[{path}]]`" if not stem else f"Each of `{path}`"
            yield from _tables(item, top, heading)


def _rows(schema: Schema, top: Schema) -> Iterator[str]:
    yield "| key | what it is | unit | allowed | without it |"
    yield "|---|---|---|---|---|"
    required = set(schema.get("required", ()))
    for key, given in schema["properties"].items():
        value = resolve(given, top)
        meaning = str(given.get("description") or value.get("description", ""))
        allowed = _allowed(value, top)
        without = "must be there" if key in required else _default(given.get("default"))
        yield f"| `{key}` | {meaning} | {unit_of(key)} | {allowed} | {without} |"


def _allowed(value: Schema, top: Schema) -> str:
    if "properties" in value:
        return "table"
    text = allowed_text(value)
    item = value.get("items") or value.get("additionalProperties")
    if item and item is not True:
        inner = resolve(item, top)
        text += f"; each: {'table' if 'properties' in inner else allowed_text(inner)}"
    return text.replace("|", "/")


def _default(value: Any) -> str:
    if value is None or isinstance(value, dict):
        return "not known" if value is None else "the values below"
    if isinstance(value, bool):
        return str(value).lower()
    if isinstance(value, list):
        return ", ".join(str(v) for v in value) or "none"
    return f"{value}" or "empty"
