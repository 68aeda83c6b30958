"""Which pattern a rock's name asks for, after the public geologic-map symbol standard.

FGDC-STD-013-2006, section 37 (lithologic patterns), from memory. Every face draws these
patterns in its own strokes; a word we know no pattern for has none: its name stands beside it.
"""

from __future__ import annotations

import re
from functools import lru_cache
from typing import Final

# pattern -> the words that ask for it
PATTERNS: Final = {
    "clay": "clay claystone mudstone mud shale",
    "silt": "silt siltstone silty",
    "sand": "sand sandstone sandy arenite turbidite",
    "gravel": "gravel conglomerate breccia pebbly",
    "limestone": "limestone chalk carbonate reef calcareous",
    "dolomite": "dolomite dolostone",
    "marl": "marl marlstone",
    "salt": "salt halite evaporite gypsum anhydrite",
    "ooze": "ooze diatomite radiolarite chert",
    "crosses": "granite granodiorite diorite crystalline basement",
    "basalt": "basalt dolerite diabase lava dike dyke",
    "gabbro": "gabbro troctolite",
    "serpentine": "serpentinite peridotite dunite harzburgite",
    "foliated": (
        "schist gneiss slate phyllite quartzite metamorphosed metamorphic meta amphibolite"
    ),
    "tuff": "tuff ash tephra volcaniclastic",
}
_WORDS: Final = {word: kind for kind, words in PATTERNS.items() for word in words.split()}
_CHANGED: Final = frozenset(("metamorphosed", "metamorphic", "meta"))


@lru_cache(maxsize=256)
def kinds(lithology: str) -> tuple[str, ...]:
    """Return the patterns for a rock's name, by turns row by row; none if it is not known.

    The last word of a phrase that is known counts: silty clay is a clay. Phrases are
    joined by 'and', 'with', commas or slashes.
    """
    found: dict[str, None] = {}
    for phrase in re.split(r"\band\b|\bwith\b|[,/]", lithology.lower()):
        words = [word for word in re.findall(r"[a-z]+", phrase) if word in _WORDS]
        if words:
            found[_WORDS[words[-1]]] = None
        if words and words[0] in _CHANGED:
            found[_WORDS[words[0]]] = None
    return tuple(found)
