"""A signature under one revision of a hole, and what it does and does not say."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Final

WHAT_A_SIGNATURE_IS: Final = (
    "Signed inside this tool under a login name. It is no qualified electronic signature: where "
    "rules ask for one, or for ink, this page does not replace it."
)


@dataclass(frozen=True)
class Signature:
    """Who signed which revision, and what the verdict was then.

    Attributes
    ----------
    name : the login name
    role : in words, such as 'may read, edit and sign'
    at : time in UTC, ISO 8601
    revision : number of the revision that was signed, and no other
    note : what the signer wrote beside it
    passes : whether the hole held when it was signed
    verdict : the sentence of the verdict then
    """

    name: str
    role: str
    at: str
    revision: int
    note: str
    passes: bool
    verdict: str
