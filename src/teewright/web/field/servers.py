"""Several servers in one process, ended together by one signal."""

import asyncio
import contextlib
import errno
import os
import signal
import socket
import ssl
from collections.abc import Generator, Sequence
from dataclasses import dataclass
from types import FrameType

import uvicorn
from starlette.types import ASGIApp

from teewright.errors import InputError

SIGNALS = (signal.SIGINT, signal.SIGTERM)
WAITING = 256
"""How many may wait for their answer to begin."""
GRACE = 5
"""How long answers under way may take after the signal [s]."""


@dataclass(frozen=True, slots=True)
class Served:
    """One application at one place.

    Attributes:
        app: The application.
        place: Bound socket.
        tls: What it speaks TLS with, or None in the clear.
    """

    app: ASGIApp
    place: socket.socket
    tls: ssl.SSLContext | None = None


class _Server(uvicorn.Server):
    """A server that leaves signals to whoever runs it."""

    @contextlib.contextmanager
    def capture_signals(self) -> Generator[None, None, None]:
        yield


def bound(host: str, port: int, *, option: str = "--port") -> socket.socket:
    """A socket at a place, before anything else begins; who asks there is refused yet.

    Args:
        host: Address to listen on.
        port: Port; 0 for any that is free.
        option: Name of the option that chose it, for the message.

    Raises:
        InputError: The port is taken or may not be used.
    """
    # a socket that names its protocol is the only one on which the event loop turns off the
    # wait for more to send, which costs 40 ms an answer
    place = socket.socket(socket.AF_INET, socket.SOCK_STREAM, socket.IPPROTO_TCP)
    if os.name == "posix":  # a server that ended just now does not block the next
        place.setsockopt(socket.SOL_SOCKET, socket.SO_REUSEADDR, 1)
    try:
        place.bind((host, port))
    except OSError as error:
        place.close()
        raise _no_place(error, port, option) from error
    return place


def listen(place: socket.socket, *, option: str = "--port") -> None:
    """Let whoever asks at a bound socket wait from here on.

    Args:
        place: Bound socket.
        option: Name of the option that chose its port, for the message.

    Raises:
        InputError: Another program took the port in between.
    """
    try:
        place.listen(WAITING)
    except OSError as error:
        raise _no_place(error, place.getsockname()[1], option) from error


def _no_place(error: OSError, port: int, option: str) -> InputError:
    taken = error.errno == errno.EADDRINUSE
    return InputError(
        "is in use by another program" if taken else f"cannot be used ({error.strerror})",
        field=option,
        value=port,
        allowed="another port",
    )


def run(served: Sequence[Served]) -> None:
    """Serve until a signal asks for the end; a second one does not wait for answers under way.

    Args:
        served: What is served; all of it ends together.
    """
    servers = [_server(each) for each in served]

    def end(_number: int, _frame: FrameType | None) -> None:
        for server in servers:
            server.force_exit = server.should_exit
            server.should_exit = True

    before = {number: signal.signal(number, end) for number in SIGNALS}
    try:
        asyncio.run(_all(servers, served))
    finally:
        for number, handler in before.items():
            signal.signal(number, handler)


async def _all(servers: Sequence[_Server], served: Sequence[Served]) -> None:
    pairs = zip(servers, served, strict=True)
    works = [asyncio.create_task(server.serve([each.place])) for server, each in pairs]
    await asyncio.wait(works, return_when=asyncio.FIRST_COMPLETED)
    for server in servers:  # one that failed takes the others with it
        server.should_exit = True
    await asyncio.gather(*works)


def _server(served: Served) -> _Server:
    config = uvicorn.Config(
        served.app,
        log_level="warning",
        server_header=False,
        proxy_headers=False,
        timeout_graceful_shutdown=GRACE,
    )
    config.load()
    config.ssl = served.tls
    return _Server(config)
