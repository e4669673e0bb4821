"""A PostgreSQL server of our own for the tests: on the loopback, in a folder that goes away with it."""

import os
import pwd
import shutil
import socket
import subprocess
import tempfile
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path

ACCOUNT = "nobody"
"""PostgreSQL refuses to run as root; then it runs under this account."""


@contextmanager
def postgres_server() -> Iterator[str]:
    """Address of a running, empty server."""
    programs = _programs()
    folder = Path(tempfile.mkdtemp(prefix="jambwright-postgres-"))
    port = _free_port()
    account = _account()
    if account:
        shutil.chown(folder, account["user"])
    try:
        _run([programs / "initdb", "-D", folder / "data", "-U", "jambwright", "-A", "trust", "-N"], account)
        options = f"-p {port} -c listen_addresses=127.0.0.1 -c unix_socket_directories={folder} -c max_connections=150"
        start = [
            programs / "pg_ctl",
            "-D",
            folder / "data",
            "-w",
            "-l",
            folder / "log",
            "-o",
            options,
            "start",
        ]
        _run(start, account)
        yield f"postgresql://jambwright@127.0.0.1:{port}/postgres"
    finally:
        subprocess.run(
            [programs / "pg_ctl", "-D", folder / "data", "-m", "immediate", "stop"],
            check=False, capture_output=True, cwd=folder, **account,
        )  # fmt: skip
        shutil.rmtree(folder, ignore_errors=True)


def _run(command: list, account: dict) -> None:
    # output to a file: the server keeps a pipe open and the call would never return
    with tempfile.TemporaryFile() as output:
        done = subprocess.run(
            [str(part) for part in command], check=False, stdout=output, stderr=output, cwd="/", **account
        )
        output.seek(0)
        assert done.returncode == 0, output.read().decode()


def _account() -> dict:
    if os.geteuid() != 0:
        return {}
    entry = pwd.getpwnam(ACCOUNT)
    return {"user": entry.pw_uid, "group": entry.pw_gid, "extra_groups": []}


def _programs() -> Path:
    """Debian keeps the server's programs off the path, in a folder by version."""
    found = shutil.which("initdb")
    if found:
        return Path(found).resolve().parent
    versions = sorted(Path("/usr/lib/postgresql").glob("*/bin/initdb"))
    assert versions, "PostgreSQL is needed: apt-get install postgresql"
    return versions[-1].parent


def _free_port() -> int:
    with socket.socket() as free:
        free.bind(("127.0.0.1", 0))
        return free.getsockname()[1]
