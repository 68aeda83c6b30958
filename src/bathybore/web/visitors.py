"""Visitors: sessions, roles and the token that changes need."""

from __future__ import annotations

import hmac
from dataclasses import dataclass
from hashlib import sha256
from typing import Final

from bathybore.base.errors import Fault
from bathybore.web.answers import Refused

ROLES: Final = ("read", "edit", "sign")  # each may do what those before it may
TOKEN_HEADER: Final = "X-Bathybore-Token"


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
    role: str

    @property
    def csrf(self) -> str:
        """What a page of another site cannot know: made from the cookie, which it cannot read."""
        return sha256(f"csrf:{self.token}".encode()).hexdigest()

    def check_token(self, given: str) -> None:
        if not hmac.compare_digest(given.encode(), self.csrf.encode()):
            found = "another token" if given else "no token"
            fix = "Load the page anew."
            raise Refused(403, Fault(TOKEN_HEADER, found, "the token of /api/session", fix))

    def check_role(self, role: str) -> None:
        if self.role not in ROLES or ROLES.index(self.role) < ROLES.index(role):
            fix = "Ask whoever keeps the accounts of this workspace."
            raise Refused(403, Fault("role", self.role or "none", f"'{role}' or higher", fix))
