"""Everything Bathybore raises on purpose.

BathyboreError
├── InputErrors          what the user wrote cannot be used; holds one Fault per place
├── OrderError           a step cannot follow the state it is given
└── NotConverged         a solver gave up; its last guess is never an answer
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from difflib import get_close_matches


class BathyboreError(Exception):
    """Root of the errors that a face shows to the user without a traceback."""


@dataclass(frozen=True)
class Fault:
    """One thing wrong with the input: where, what was found, what was expected, the likely fix."""

    where: str
    found: str
    expected: str
    fix: str = ""

    def __str__(self) -> str:
        text = f"{self.where}: found {self.found}; expected {self.expected}"
        return f"{text}. {self.fix}" if self.fix else text


class InputErrors(BathyboreError):
    """The input cannot be used. Carries every fault that was found, not only the first."""

    def __init__(self, faults: Iterable[Fault]) -> None:
        self.faults = tuple(faults)
        super().__init__("\n".join(str(fault) for fault in self.faults))

    def __reduce__(self) -> tuple[type[InputErrors], tuple[tuple[Fault, ...]]]:
        # another process makes it from its faults, not from its words
        return InputErrors, (self.faults,)

    @classmethod
    def one(cls, where: str, found: str, expected: str, fix: str = "") -> InputErrors:
        return cls([Fault(where, found, expected, fix)])


class OrderError(BathyboreError):
    """A step of the operation cannot be done from the state the hole is in."""


class NotConverged(BathyboreError):
    """An iterative solution did not reach its tolerance."""


def nearest(word: str, known: Iterable[str]) -> str:
    """Return 'Did you mean …?' for the closest known spelling, or an empty string."""
    candidates = list(known)
    matches = get_close_matches(word, candidates, n=1, cutoff=0.6)
    if not matches:
        lowered = {name.lower(): name for name in candidates}
        matches = [lowered[m] for m in get_close_matches(word.lower(), lowered, n=1, cutoff=0.6)]
    return f"Did you mean '{matches[0]}'?" if matches else ""
