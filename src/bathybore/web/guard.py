"""The gate in front of all routes: who may be asked under which name, how much, with which policy.

- The Host must be a name of this machine that was allowed: a page of another site that points
  its own name at this address (DNS rebinding) is refused.
- An Origin, where a browser sends one, must be our own. A WebSocket must send it.
- No request is larger than the limit.
- Every answer carries the policy that keeps scripts, frames and requests to this server alone.
"""

from __future__ import annotations

import ipaddress
from dataclasses import dataclass
from typing import Any, Final
from urllib.parse import urlsplit

from starlette.datastructures import Headers, MutableHeaders
from starlette.requests import ClientDisconnect
from starlette.types import ASGIApp, Message, Receive, Scope, Send

from bathybore.base.errors import Fault
from bathybore.web.answers import encoded
from bathybore.web.shapes import Refusal

UPLOAD_LIMIT: Final = 10 * 1024 * 1024
_DRAINED: Final = 10  # times the limit
LOOPBACK_NAMES: Final = frozenset({"localhost", "127.0.0.1", "[::1]"})

POLICY: Final = "; ".join(
    (
        "default-src 'self'",
        "img-src 'self' data: blob:",
        "object-src 'none'",
        "base-uri 'none'",
        "form-action 'self'",
        "frame-ancestors 'none'",
    )
)
# The programme and single pictures bring their own styles, may stand in a frame of our page,
# and run nothing.
DOCUMENT_POLICY: Final = (
    "default-src 'none'; style-src 'unsafe-inline'; img-src data:; font-src data:; "
    "base-uri 'none'; form-action 'none'; frame-ancestors 'self'; sandbox"
)
_HEADERS: Final = {
    "Content-Security-Policy": POLICY,
    "X-Content-Type-Options": "nosniff",
    "Referrer-Policy": "no-referrer",
    "Cross-Origin-Opener-Policy": "same-origin",
    "Cross-Origin-Resource-Policy": "same-origin",
    "Permissions-Policy": "camera=(), geolocation=(), microphone=(), payment=(), usb=()",
}
_PROXY_HEADERS: Final = ("forwarded", "x-forwarded-for", "x-forwarded-host", "x-forwarded-proto")


@dataclass(frozen=True)
class Names:
    """Under which names the server may be asked.

    Attributes
    ----------
    names : allowed host names, lower case, without port
    any_address : plain addresses are allowed as well: no name server can make one up
    """

    names: frozenset[str]
    any_address: bool = False

    def allow(self, host: str) -> bool:
        name = _without_port(host).lower()
        return name in self.names or (self.any_address and _is_address(name))


def _without_port(host: str) -> str:
    if host.startswith("["):
        return host.partition("]")[0] + "]"
    return host.partition(":")[0]


def _is_address(name: str) -> bool:
    try:
        ipaddress.ip_address(name.strip("[]"))
    except ValueError:
        return False
    return True


class Guard:
    """ASGI middleware; answers what is refused itself, so that no route ever sees it."""

    def __init__(self, app: ASGIApp, names: Names, login_needed: Any, limit: int) -> None:
        self.app = app
        self.names = names
        self.login_needed = login_needed
        self.limit = limit

    async def __call__(self, scope: Scope, receive: Receive, send: Send) -> None:
        if scope["type"] == "lifespan":
            await self.app(scope, receive, send)
            return
        headers = Headers(scope=scope)
        refused = self._refused(scope, headers)
        if scope["type"] == "websocket":
            if refused:
                await send({"type": "websocket.close", "code": 1008, "reason": "origin or host"})
                return
            await self.app(scope, receive, send)
            return
        send = _with_headers(send)
        length = headers.get("content-length", "")
        if refused:
            await self._drained(receive)
            await _refuse(send, 403, refused)
        elif length.isdigit() and int(length) > self.limit:
            await self._drained(receive)
            await _refuse(send, 413, self._too_large(f"{int(length)} bytes"))
        else:
            await self._counted(scope, receive, send)

    def _refused(self, scope: Scope, headers: Headers) -> Fault | None:
        hosts = headers.getlist("host")
        host = hosts[0] if len(hosts) == 1 else ""
        if not self.names.allow(host):
            return Fault(
                "Host",
                f"'{host[:80]}'",
                f"one of {', '.join(sorted(self.names.names))}",
                "Allow another name with `bathybore serve --name`.",
            )
        if not self.login_needed() and any(name in headers for name in _PROXY_HEADERS):
            return Fault(
                "request",
                "a request through a proxy, and no accounts",
                "a login before others can reach this server",
                "Add an account with `bathybore account add`.",
            )
        origins = headers.getlist("origin")
        if not origins and scope["type"] == "http":
            return None
        if len(origins) == 1 and urlsplit(origins[0]).netloc.lower() == host.lower():
            return None
        shown = ", ".join(origins)[:80] or "none"
        return Fault("Origin", shown, "a page of this server", "Open the workspace's own address.")

    def _too_large(self, found: str) -> Fault:
        return Fault("request", found, f"at most {self.limit // 2**20} MB", "Split the file.")

    async def _drained(self, receive: Receive) -> None:
        """Let the rest of a request go by, within reason.

        Who is still sending when the connection is closed never reads the answer.
        """
        seen = 0
        while seen < _DRAINED * self.limit:
            message = await receive()
            seen += len(message.get("body", b""))
            if not message.get("more_body", False):
                return

    async def _counted(self, scope: Scope, receive: Receive, send: Send) -> None:
        """Hand a request on while counting what is really sent, whatever its length claims.

        Over the limit, whoever reads finds the other side gone; what it answers to that is
        replaced by what was really wrong.
        """
        seen = 0
        answered = False

        async def counting() -> Message:
            nonlocal seen
            if seen > self.limit:
                return {"type": "http.disconnect"}
            message = await receive()
            seen += len(message.get("body", b""))
            return message if seen <= self.limit else {"type": "http.disconnect"}

        async def replacing(message: Message) -> None:
            nonlocal answered
            if seen <= self.limit:
                await send(message)
            elif not answered:
                answered = True
                await self._drained(receive)
                await _refuse(send, 413, self._too_large(f"more than {self.limit} bytes"))

        try:
            await self.app(scope, counting, replacing)
        except ClientDisconnect:
            if seen <= self.limit:
                raise
        if seen > self.limit and not answered:
            await self._drained(receive)
            await _refuse(send, 413, self._too_large(f"more than {self.limit} bytes"))


def _with_headers(send: Send) -> Send:
    async def sending(message: Message) -> None:
        if message["type"] == "http.response.start":
            headers = MutableHeaders(scope=message)
            for name, value in _HEADERS.items():
                headers.setdefault(name, value)
            headers.setdefault("Cache-Control", "no-store")
        await send(message)

    return sending


async def _refuse(send: Send, status: int, fault: Fault) -> None:
    body = encoded(Refusal((fault,)))
    headers = [
        (b"content-type", b"application/json"),
        (b"content-length", str(len(body)).encode()),
        (b"connection", b"close"),
    ]
    await send({"type": "http.response.start", "status": status, "headers": headers})
    await send({"type": "http.response.body", "body": body})
