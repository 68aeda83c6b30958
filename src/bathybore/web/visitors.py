"""Visitors: sessions, roles and the token that changes need."""

from __future__ import annotations

import hmac
import secrets
from dataclasses import dataclass
from datetime import UTC, datetime, timedelta
from hashlib import sha256
from math import ceil
from typing import Final, Literal

from fastapi import Request, Response
from starlette.requests import HTTPConnection

from bathybore.base.errors import Fault
from bathybore.storage.records import Role
from bathybore.storage.store import Store
from bathybore.web.accounts import LOCAL, Accounts
from bathybore.web.answers import Refused
from bathybore.web.throttle import Throttle

ROLES: Final[tuple[Role, ...]] = ("read", "edit", "sign")  # each may do what those before it may
TOKEN_HEADER: Final = "X-Bathybore-Token"
SESSION_LASTS: Final = timedelta(hours=14)  # a tour of twelve hours, with handing over
_TOKEN_LENGTH: Final = 64


@dataclass(frozen=True)
class Visitor:
    """Who asks, under which session.

    Attributes
    ----------
    token : the secret in the cookie
    role : empty while nobody is logged in
    """

    token: str
    name: str
    role: Role | Literal[""]

    @property
    def csrf(self) -> str:
        """What a page of another site cannot know: made from the cookie, which it cannot read."""
        return sha256(f"csrf:{self.token}".encode()).hexdigest()

    def check_token(self, given: str) -> None:
        if not hmac.compare_digest(given.encode(), self.csrf.encode()):
            found = "another token" if given else "no token"
            fix = "Load the page anew."
            raise Refused(403, Fault(TOKEN_HEADER, found, "the token of /api/session", fix))

    def may(self, role: Role) -> bool:
        return self.role in ROLES and ROLES.index(self.role) >= ROLES.index(role)

    def check_role(self, role: Role) -> None:
        if not self.may(role):
            fix = "Ask whoever keeps the accounts of this workspace."
            raise Refused(403, Fault("role", self.role or "none", f"'{role}' or higher", fix))


class Visitors:
    """Knows visitors by their cookie.

    Without accounts, on this computer alone, everybody may do everything: a cookie then only
    carries the token that keeps pages of other sites out. As soon as there is an account, or
    the server can be reached from elsewhere, a login is needed.

    Parameters
    ----------
    port : named in the cookie, which browsers share between the ports of one host
    wide : the server can be reached from other computers
    """

    def __init__(self, store: Store, port: int, wide: bool) -> None:
        self.accounts = Accounts(store)
        self._store = store
        self._cookie = f"bathybore-{port}"
        self._wide = wide
        self._throttle = Throttle()

    @property
    def login_needed(self) -> bool:
        return self._wide or bool(self.accounts)

    def known(self, connection: HTTPConnection) -> Visitor | None:
        """Return who asks; None without a session."""
        token = connection.cookies.get(self._cookie, "")
        return self.of_token(token) if token else None

    def of_token(self, token: str) -> Visitor | None:
        if not self.login_needed:
            return Visitor(token, LOCAL, "sign")
        session = self._store.session(_hash(token), _time())
        return Visitor(token, session.account.name, session.account.role) if session else None

    def greeted(self, request: Request) -> Visitor:
        """Return who asks, as a stranger if need be; strangers get a token too."""
        known = self.known(request)
        if known:
            return known
        token = request.cookies.get(self._cookie, "")
        # of strangers, any other text was not made here
        return self._stranger(token if len(token) == _TOKEN_LENGTH else secrets.token_hex(32))

    def login(self, request: Request, name: str, password: str) -> Visitor:
        """Begin a session, under a new token: whoever knew the old one gains nothing."""
        self.greeted(request).check_token(request.headers.get(TOKEN_HEADER, ""))
        if not self.accounts:
            fix = "Add one with `bathybore account add`."
            raise Refused(403, Fault("login", "no accounts", "an account", fix))
        address = request.client.host if request.client else "unknown"
        keys = (f"address {address}", f"name {name.strip().lower()}")
        wait = self._throttle.attempt(keys)
        if wait > 0.0:
            fault = Fault("login", "too many attempts", f"a wait of {ceil(wait)} s")
            raise Refused(429, fault, {"Retry-After": str(ceil(wait))})
        account = self.accounts.verified(name, password)
        if account is None:
            raise Refused(403, Fault("login", "name and password", "an account and its password"))
        self._throttle.clear(keys)
        self._end(request)
        token = secrets.token_hex(32)
        now = datetime.now(UTC)
        self._store.end_expired(_time(now))
        self._store.add_session(_hash(token), account.name, _time(now + SESSION_LASTS))
        return Visitor(token, account.name, account.role)

    def logout(self, request: Request) -> Visitor:
        """End the session, and return the stranger that is left."""
        self.greeted(request).check_token(request.headers.get(TOKEN_HEADER, ""))
        self._end(request)
        return self._stranger(secrets.token_hex(32))

    def _end(self, request: Request) -> None:
        token = request.cookies.get(self._cookie, "")
        if token:
            self._store.end_session(_hash(token))

    def _stranger(self, token: str) -> Visitor:
        if self.login_needed:
            return Visitor(token, "", "")
        return Visitor(token, LOCAL, "sign")

    def set_cookie(self, answer: Response, request: Request, visitor: Visitor) -> None:
        """Hand out the cookie, unless the browser has it already."""
        if request.cookies.get(self._cookie) != visitor.token:
            answer.set_cookie(
                self._cookie,
                visitor.token,
                max_age=int(SESSION_LASTS.total_seconds()) if self.login_needed else None,
                httponly=True,
                samesite="strict",
                secure=request.url.scheme == "https",
            )


def _hash(token: str) -> str:
    return sha256(token.encode()).hexdigest()


def _time(moment: datetime | None = None) -> str:
    return (moment or datetime.now(UTC)).isoformat(timespec="seconds")
