"""The terminal's commands for the houses that are kept: served, copied, checked, put back."""

from __future__ import annotations

from collections.abc import Iterator
from contextlib import nullcontext
from pathlib import Path
from typing import TYPE_CHECKING, Annotated

import typer

from jambwright.basis.problems import BadInput
from jambwright.starter import put_starter
from jambwright.terminal import problems_told

if TYPE_CHECKING:
    from jambwright.web.serve import Addresses


def _home() -> Path:
    """Of whoever runs the program; a system's own user may have none and keeps the houses where it stands."""
    try:
        return Path.home()
    except RuntimeError:
        return Path()


DATA = _home() / ".jambwright" / "houses.db"
"""Where the houses are kept unless another place is named."""

Data = Annotated[str, typer.Option("--data", help="SQLite file, or a postgresql:// address.")]


def serve(
    asked: typer.Context,
    data: Data = str(DATA),
    port: Annotated[int, typer.Option("--port", help="Port to listen on.")] = 8321,
    demo_house: Annotated[
        bool, typer.Option("--demo", help="Open the invented demo house, kept nowhere.")
    ] = False,
    browser: Annotated[bool, typer.Option("--browser/--no-browser", help="Open the browser here.")] = True,
    share: Annotated[bool, typer.Option("--share", help="Let phones on this network in by a code.")] = False,
    role: Annotated[str, typer.Option("--as", help="Who scans: fitter, office or read_only.")] = "fitter",
    cert: Annotated[Path | None, typer.Option("--cert", help="Certificate (PEM) for https.")] = None,
    key: Annotated[Path | None, typer.Option("--key", help="Its private key (PEM).")] = None,
    plain: Annotated[
        bool, typer.Option("--plain", help="Share over http: a phone can't open the app without signal.")
    ] = False,
    backup_to: Annotated[
        Path | None, typer.Option("--backup-to", help="Folder for copies made while it serves.")
    ] = None,
    keep: Annotated[int, typer.Option("--keep", min=1, help="How many of these copies are kept.")] = 30,
    every: Annotated[
        float, typer.Option("--every", min=0.001, max=8760, help="Hours from copy to copy.")
    ] = 24,
    shortcut: Annotated[
        bool, typer.Option("--shortcut", help="Put a starter on the desktop that does this, and end.")
    ] = False,
) -> None:
    """Open the houses in the browser of this machine.  Example: jambwright serve --share."""
    import tempfile
    from datetime import timedelta

    import platformdirs

    from jambwright.basis.tables import read_text
    from jambwright.basis.tree import parse_tree
    from jambwright.store import ROLES, Backups, add_house, is_postgres, open_store
    from jambwright.web.serve import Sharing
    from jambwright.web.serve import serve as serving

    if role not in ROLES:
        raise typer.BadParameter(f"one of {', '.join(ROLES)}.", param_hint="--as")
    if demo_house and backup_to:
        raise typer.BadParameter(
            "the demo house is kept nowhere, so there is nothing to copy.", param_hint="--demo"
        )
    if (cert or key) and not share:
        raise typer.BadParameter("a certificate is for sharing; give --share too.", param_hint="--cert")
    if shortcut:
        with problems_told():
            file = put_starter(["serve", *_as_given(asked)], platformdirs.user_desktop_path())
        typer.echo(f"Put on the desktop: {file}. Press it to start; Ctrl-C in its window ends it.")
        return
    backups = backup_to and Backups(folder=backup_to, keep=keep, every=timedelta(hours=every))
    with tempfile.TemporaryDirectory() as gone, problems_told():
        store = open_store(Path(gone) / "demo.db" if demo_house else data)
        try:
            if demo_house:
                add_house(store, parse_tree(read_text("demo_house.yaml")))
            own = None if plain else (DATA if is_postgres(data) else Path(data)).parent / "certificates"
            sharing = Sharing(role=role, certificate=cert, key=key, own=own) if share else None
            going_on = (
                backups.going_on(data, lambda say: typer.echo(say, err=True)) if backups else nullcontext()
            )
            with going_on:
                serving(store, port=port, sharing=sharing, ready=lambda found: _told(found, browser))
        finally:
            store.close()


def _as_given(asked: typer.Context) -> Iterator[str]:
    """The options that were given, so that they mean the same from any folder."""
    from jambwright.store import is_postgres

    for option in asked.command.params:
        name, value = option.name or "", asked.params.get(option.name or "")
        given = asked.get_parameter_source(name)
        if name == "shortcut" or given is None or given.name != "COMMANDLINE":
            continue
        if isinstance(value, bool):
            yield (option.opts if value else option.secondary_opts)[0]
        else:
            is_file = isinstance(value, Path) or (name == "data" and not is_postgres(str(value)))
            yield from (option.opts[0], str(Path(str(value)).absolute() if is_file else value))


def _told(found: Addresses, browser: bool) -> None:
    import webbrowser

    from jambwright.web.joining import only_here
    from jambwright.web.serve import code_for_terminal
    from jambwright.web.workers import MEMORY_IS_BOUNDED

    typer.echo(f"Open on this machine (works once): {found.here}")
    if found.there and only_here(found.there):
        typer.echo("This machine is on no network, so no phone can open it: join one, then start this again.")
    elif found.there:
        if found.trust:
            typer.echo(f"1. A phone's first time: scan this, and trust this computer. {found.trust}")
            typer.echo(f"{code_for_terminal(found.trust)}\nIts SHA-256 fingerprint: {found.marks}")
        step = "2. Then scan" if found.trust else "Scan with the phone"
        typer.echo(f"{step}, or type (works once): {found.there}\n{code_for_terminal(found.there)}")
        if not found.there.startswith("https:"):
            typer.echo(
                "Over http a phone can't open the app without signal, and others on the network can read along."
            )
        if not MEMORY_IS_BOUNDED:
            typer.echo(
                "On this system nothing bounds how much memory a calculation takes, only for how long: let in "
                "nobody you do not know."
            )
    if browser:
        webbrowser.open(found.here)


def backup(
    copy: Annotated[Path, typer.Argument(help="New file for the copy.")],
    data: Data = str(DATA),
) -> None:
    """Copy the houses, also while they are served, and check the copy.  Example: jambwright backup monday.db."""
    from jambwright.store import back_up

    with problems_told():
        holds = back_up(data, copy)
    typer.echo(f"Copied to {copy} and checked: {holds}.")


def restore(
    copy: Annotated[Path, typer.Argument(help="The copy that is to take the database's place.")],
    data: Data = str(DATA),
) -> None:
    """Put a copy in place of the houses there are, which are moved aside.  Example: jambwright restore monday.db."""
    from jambwright.store import restore as put_back

    with problems_told():
        holds, aside = put_back(copy, data)
    typer.echo(f"Restored from {copy}: {holds}.")
    if aside:
        typer.echo(f"What was there before is in {aside}.")


def verify(
    file: Annotated[str, typer.Argument(help="A database, a copy of one, or a folder of papers.")] = str(
        DATA
    ),
) -> None:
    """Check that a database, a copy or a folder of papers is whole.  Example: jambwright verify monday.db."""
    from jambwright import store

    with problems_told():
        if not Path(file).is_dir():
            typer.echo(f"{file} is whole: {store.verify(file)}.")
            return
        plan, faults = store.look_through(Path(file))
        if faults:
            raise BadInput(faults)
        typer.echo(f"{file} holds the papers of plan {plan}, whole.")
