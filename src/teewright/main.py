"""`teewright`: every face under one name. The faces do not know each other."""

from teewright.cli.main import app
from teewright.cli.main import main as command_line
from teewright.web import people_command, serve

__all__ = ["app", "main"]

serve.register(app)
people_command.register(app)


def main() -> None:
    """Run the command line."""
    command_line()
