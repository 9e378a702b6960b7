"""Every text of the pages, by its key: one file a page, ready to be translated."""

import tomllib
from functools import lru_cache
from importlib.resources import files

LANGUAGE = "en"


@lru_cache(maxsize=4)
def catalogue(language: str = LANGUAGE) -> dict[str, str]:
    """All texts of a language.

    Args:
        language: Name of its folder.

    Returns:
        `file.key` -> text; a key within a table of the file has its name before it.
    """
    folder = files("teewright.web.texts") / language
    found: dict[str, str] = {}
    for entry in folder.iterdir():
        if entry.name.endswith(".toml"):
            table = tomllib.loads(entry.read_text(encoding="utf-8"))
            found.update(_flat(entry.name.removesuffix(".toml"), table))
    return found


def _flat(prefix: str, table: dict[str, object]) -> dict[str, str]:
    found: dict[str, str] = {}
    for key, value in table.items():
        name = f"{prefix}.{key}"
        if isinstance(value, dict):
            found.update(_flat(name, value))
        else:
            found[name] = str(value)
    return found


def text(key: str, **values: object) -> str:
    """A text with its values set in.

    Where a value `n` is given and there is a text `key_one`, that one is taken for n = 1.

    Args:
        key: `file.key`.
        **values: Set in by name, as `str.format` does.

    Raises:
        KeyError: There is no such text.
    """
    found = catalogue()
    if values.get("n") == 1 and f"{key}_one" in found:
        return found[f"{key}_one"].format(**values)
    return found[key].format(**values) if values else found[key]
