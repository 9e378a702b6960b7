"""`teewright people`: who may sign in to a project."""

import getpass
import sys
from enum import StrEnum
from pathlib import Path
from typing import Annotated

import typer

from teewright.errors import InputError
from teewright.store.people import (
    add_person,
    change_role,
    change_secret,
    people,
    remove_person,
)
from teewright.store.project import Project
from teewright.web.guard.roles import Role


class Act(StrEnum):
    """What is to be done."""

    LIST = "list"
    ADD = "add"
    REMOVE = "remove"
    PASSWORD = "password"
    ROLE = "role"


def register(app: typer.Typer) -> None:
    """Add the command."""
    app.command("people")(people_command)


def people_command(
    project: Annotated[Path, typer.Argument(help="Project file.", show_default=False)],
    act: Annotated[Act, typer.Argument(help="What is to be done.")] = Act.LIST,
    name: Annotated[str, typer.Argument(help="Short name or initials.", show_default=False)] = "",
    new_role: Annotated[
        Role | None,
        typer.Argument(help="With `role`: what the person is to be.", show_default=False),
    ] = None,
    role: Annotated[
        Role, typer.Option("--role", help="With `add`: what the person may be.")
    ] = Role.CREW,
    password_file: Annotated[
        Path | None,
        typer.Option(
            "--password-file",
            help="File whose first line is the password; without it the password is asked for.",
        ),
    ] = None,
) -> None:
    """Say who may sign in to a project, add and remove people, change a password or a role."""
    _check_given(act, name, new_role)
    with Project.open(project) as opened:
        if act is Act.ADD:
            known = {person.name for person in people(opened)}
            if name in known:
                raise InputError("is taken", field="name", value=name, allowed="another name")
            add_person(opened, name, role.value, _secret(password_file))
        elif act is Act.PASSWORD:
            change_secret(opened, name, _secret(password_file))
        elif new_role is not None:
            change_role(opened, name, new_role.value)
        elif act is Act.REMOVE:
            remove_person(opened, name)
        found = people(opened)
    for person in found:
        typer.echo(f"{person.name}\t{person.role}")
    if not found:
        typer.echo("Nobody may sign in yet.")


def _check_given(act: Act, name: str, new_role: Role | None) -> None:
    """Refuse an act without what it is about, and a role that would change nothing."""
    if act is not Act.LIST and not name.strip():
        raise InputError("no name is given", allowed="NAME, a short name or initials")
    if act is Act.ROLE and new_role is None:
        raise InputError("no role is given", allowed=f"NEW_ROLE, one of {', '.join(Role)}")
    if act is not Act.ROLE and new_role is not None:
        raise InputError(
            f"does not go with {act}",
            field="NEW_ROLE",
            value=new_role,
            allowed="NEW_ROLE with `role`, --role with `add`",
        )


def check_people(project: Path) -> None:
    """Refuse where nobody could sign in.

    Raises:
        InputError: There is nobody, or no such project.
    """
    if project.exists():
        with Project.open(project) as opened:
            if people(opened):
                return
    raise InputError(
        "nobody may sign in to it",
        file=project.name,
        allowed=f"add people first, e.g. `teewright people {project.name} add AB --role crew`",
    )


def _secret(path: Path | None) -> str:
    from teewright.web.guard.passwords import hashed  # noqa: PLC0415 -- not every command needs it

    return hashed(_typed() if path is None else _first_line(path))


def _typed() -> str:
    """A password typed twice, not shown."""
    if not sys.stdin.isatty():
        raise InputError(
            "cannot be asked for: this is no terminal",
            field="password",
            allowed="--password-file with a file whose first line is the password",
        )
    first = getpass.getpass("Password: ")
    if getpass.getpass("Once more: ") != first:
        raise InputError("was not typed the same twice", field="password", allowed="the same twice")
    return first


def _first_line(path: Path) -> str:
    try:
        lines = path.read_text(encoding="utf-8").splitlines()
    except (OSError, UnicodeDecodeError) as error:
        raise InputError("cannot be read", file=path.name, allowed="a readable file") from error
    return lines[0] if lines else ""
