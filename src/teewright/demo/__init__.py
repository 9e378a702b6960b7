"""The demo scenario: an invented town with its survey, site and kit, shipped with the package.

`README.txt` among the files tells what each is.
"""

from importlib.resources import files as resources

SURVEY_FILES = ("survey-mill-lane.txt", "survey-night.txt", "runs.csv", "connections.csv")
"""Names of the survey files, in the order in which they are read."""
KIT_FILE = "kit.toml"
"""Name of the kit file."""
SITE_FILE = "site.toml"
"""Name of the site file."""
PLAIN_KIT_FILE = "plain_kit.toml"
"""Name of the plain kit, for one odd junction without a project; no part of the scenario."""
README = "README.txt"
"""Name of the file that tells what each file is."""


def file(name: str) -> bytes:
    """Bytes of one file of the demo.

    Args:
        name: One of the names above.

    Raises:
        FileNotFoundError: There is no such file.
    """
    return resources(__name__).joinpath(name).read_bytes()


def files() -> dict[str, bytes]:
    """Every file of the demo: name -> bytes, the survey first."""
    return {name: file(name) for name in (*SURVEY_FILES, SITE_FILE, KIT_FILE, README)}


def plain_kit() -> bytes:
    """The plain kit: fabrics named by their kind, with invented figures of the usual size."""
    return file(PLAIN_KIT_FILE)
