"""Serving: on this machine alone, or shared on purpose with the network it is on."""

from __future__ import annotations

import asyncio
import io
import os
import socket
import ssl
from collections.abc import Callable, Sequence
from contextlib import ExitStack
from dataclasses import dataclass, replace
from pathlib import Path
from typing import Any

import segno
import uvicorn
from fastapi import FastAPI

from jambwright.basis.problems import BadInput
from jambwright.store import Role, Store, invite
from jambwright.web.app import create_app
from jambwright.web.certificates import Certificates, fingerprint, is_private, own_certificates
from jambwright.web.connections import HEAD_S, KEPT_S, LONGEST_HEAD, OF_ALL, OF_ONE_ADDRESS, Watched
from jambwright.web.pace import Paced
from jambwright.web.trusting import grouped, trusting_app

PORT = 8321
LOOPBACK = "127.0.0.1"
ANYWHERE = "0.0.0.0"
LATEST_GOODBYE_S = 3


@dataclass(frozen=True, slots=True, kw_only=True)
class Sharing:
    """Served to other devices too, with a certificate where one is given or made."""

    role: Role
    """What the device that scans the code may do."""
    certificate: Path | None = None
    key: Path | None = None
    own: Path | None = None
    """Folder of our own certificates; ``None`` to share over plain http."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Addresses:
    """Where it can be reached."""

    here: str
    """Lets this machine's browser in, once."""
    there: str | None = None
    """Lets the first other device in, once."""
    trust: str | None = None
    """Walks a phone through trusting our own certificate."""
    marks: str = ""
    """The fingerprint that the phone must show then."""


def serve(
    store: Store, *, port: int = PORT, sharing: Sharing | None = None, ready: Callable[[Addresses], None]
) -> None:
    """Serve until interrupted. ``ready`` is called once it can be reached."""
    if sharing:
        _check_certificate(sharing)
    address = network_address() if sharing else LOOPBACK
    own = _own(sharing, address)
    with ExitStack() as doors:
        listening = doors.enter_context(_listen(port, ANYWHERE if sharing and not own else LOOPBACK))
        inner = _port(listening)
        scheme = "https" if sharing and sharing.certificate else "http"
        outside = f"{scheme}://{address}:{inner}" if sharing else ""
        if own:
            # https for the network and plain http on this machine, whose browser knows no authority of ours
            outer = doors.enter_context(_listen(inner if port else 0, address))
            telling = doors.enter_context(_listen(inner + 1 if port else 0, address))
            outside = f"https://{address}:{_port(outer)}"
        app = create_app(store, hosts=[address, socket.gethostname()] if sharing else [], address=outside)
        files = {"ssl_certfile": sharing.certificate, "ssl_keyfile": sharing.key} if sharing else {}
        served = [(configured(app, **files), listening)]
        found = Addresses(
            here=f"{scheme}://{LOOPBACK}:{inner}/join/{invite(store, role='office')}",
            there=f"{outside}/join/{invite(store, role=sharing.role)}" if sharing else None,
        )
        if own:
            ours = {"ssl_certfile": own.certificate, "ssl_keyfile": own.key, "lifespan": "off"}
            told = trusting_app(own.authority, hosts=[address], leads_to=outside)
            served += [(configured(app, **ours), outer), (configured(told, lifespan="off"), telling)]
            marks = " ".join(grouped(fingerprint(own.authority)))
            found = replace(found, trust=f"http://{address}:{_port(telling)}/", marks=marks)
        ready(found)
        with asyncio.Runner(loop_factory=Hurried) as runner:
            runner.run(_all_served(served))


def _own(sharing: Sharing | None, address: str) -> Certificates | None:
    """Our own certificates, where none is given and the address is one of a private network."""
    if sharing and sharing.own and not sharing.certificate and address != LOOPBACK and is_private(address):
        return own_certificates(sharing.own, (address,))
    return None


def _port(door: socket.socket) -> int:
    port: int = door.getsockname()[1]
    return port


class Hurried(asyncio.SelectorEventLoop):
    """A loop that leaves a handshake no longer than the head of a request; it would leave it a minute."""

    async def create_server(self, *given: Any, ssl: Any = None, **more: Any) -> asyncio.Server:
        """As asked, with that bound where there are handshakes."""
        if ssl:
            more["ssl_handshake_timeout"] = HEAD_S
        return await super().create_server(*given, ssl=ssl, **more)


async def _all_served(served: Sequence[tuple[uvicorn.Config, socket.socket]]) -> None:
    """Until one is told to stop: each hands the signal on to the one before it."""
    await asyncio.gather(*(uvicorn.Server(config).serve(sockets=[door]) for config, door in served))


def configured(app: FastAPI, **more: Any) -> uvicorn.Config:
    """How the application is served: with bounds on pace, time and number of connections."""
    return uvicorn.Config(
        Paced(app), http=Watched, ws="none", loop="asyncio", log_level="warning", server_header=False,
        proxy_headers=False,  # where a request comes from is the connection's to say, not the request's
        limit_concurrency=OF_ALL + OF_ONE_ADDRESS, timeout_keep_alive=KEPT_S,
        h11_max_incomplete_event_size=LONGEST_HEAD, timeout_graceful_shutdown=LATEST_GOODBYE_S, **more,
    )  # fmt: skip


def _check_certificate(sharing: Sharing) -> None:
    """Refuse one that can't be served with before any address is told."""
    for file in (sharing.certificate, sharing.key):
        if file and not file.is_file():
            raise BadInput.one("cert", f"There is no file {file}; name the certificate and its key.")
    if sharing.key and not sharing.certificate:
        raise BadInput.one("cert", f"{sharing.key} is a key without its certificate; name that with --cert.")
    if sharing.certificate:
        try:
            ssl.SSLContext(ssl.PROTOCOL_TLS_SERVER).load_cert_chain(sharing.certificate, sharing.key)
        except OSError as error:  # what is wrong inside the files is one of these too
            say = f"The certificate {sharing.certificate} can't be used: {error.strerror or error}. Give --key too, "
            raise BadInput.one("cert", f"{say}both in PEM, and of one pair.") from None


def network_address() -> str:
    """This machine's address on its network; the loopback when it is on none. Nothing is sent."""
    with socket.socket(socket.AF_INET, socket.SOCK_DGRAM) as probe:
        try:
            probe.connect(("192.0.2.1", 9))  # an address kept for documentation (RFC 5737)
        except OSError:
            return LOOPBACK
        return str(probe.getsockname()[0])


def code_for_terminal(address: str) -> str:
    """The address as a QR code in characters."""
    out = io.StringIO()
    segno.make(address, error="l").terminal(out, compact=True, border=2)
    return out.getvalue()


def _listen(port: int, host: str) -> socket.socket:
    # said to be TCP: else asyncio leaves small packets held back, and every answer waits 40 ms on a kept connection
    listening = socket.socket(socket.AF_INET, socket.SOCK_STREAM, socket.IPPROTO_TCP)
    try:
        if os.name == "posix":  # elsewhere this would let two programs have one port
            listening.setsockopt(socket.SOL_SOCKET, socket.SO_REUSEADDR, 1)
        listening.bind((host, port))
        listening.listen()
        return listening
    except OSError as error:
        listening.close()
        raise BadInput.one(
            "port", f"Port {port} can't be used: {error.strerror}. Name another with --port."
        ) from None
