"""Starts the server: loopback only, a fresh key each start."""

from __future__ import annotations

import ipaddress
import socket
from collections.abc import Callable

import uvicorn

from pitwright.errors import Contradiction, NotWritable
from pitwright.server.app import application
from pitwright.server.desk import Desk
from pitwright.server.guard import Guard

__all__ = ["HOST", "bound", "serve"]

HOST = "127.0.0.1"


def bound(host: str, port: int) -> socket.socket:
    """A socket that listens on this machine alone.

    Raises Contradiction for an address others could reach, NotWritable when the port is taken.
    """
    try:
        near = ipaddress.ip_address(host).is_loopback
    except ValueError:
        near = False
    if not near:
        raise Contradiction(
            "host",
            host,
            "must be this machine itself (127.0.0.1)",
            "serving others needs accounts and https, which are not there yet",
        )
    family = socket.AF_INET6 if ":" in host else socket.AF_INET
    # named as TCP, else asyncio leaves small answers waiting 40 ms for an acknowledgement
    listener = socket.socket(family, socket.SOCK_STREAM, socket.IPPROTO_TCP)
    listener.setsockopt(socket.SOL_SOCKET, socket.SO_REUSEADDR, 1)
    try:
        listener.bind((host, port))
    except OSError as broken:
        listener.close()
        raise NotWritable(
            f"port {port}", broken.strerror or "cannot be taken", "give another with --port"
        ) from None
    return listener


def serve(
    desk: Desk, secret: str, port: int, said: Callable[[str], None], host: str = HOST
) -> None:
    """Answer until Ctrl-C; ``said`` is told the address to open once it listens.

    Raises Contradiction or NotWritable as :func:`bound` does.
    """
    listener = bound(host, port)
    listener.listen(128)
    port = listener.getsockname()[1]
    guarded = Guard(application(desk, secret), secret, port)
    config = uvicorn.Config(
        guarded,
        log_level="warning",
        access_log=False,
        server_header=False,
        date_header=False,
        lifespan="off",
        timeout_graceful_shutdown=3,
        h11_max_incomplete_event_size=32768,
    )
    said(f"http://{host}:{port}/enter/{secret}")
    try:
        uvicorn.Server(config).run(sockets=[listener])
    finally:
        desk.close()
        listener.close()
