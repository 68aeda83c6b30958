"""Formulas for a terminal: our Typst mathematics as readable Unicode, with numbers put in.

Only the part of Typst mathematics that formulas of the trade need is understood. A
name that is not known is shown as it is written: a reader can still read it.
"""

from __future__ import annotations

import re
from collections.abc import Mapping, Sequence
from functools import lru_cache
from typing import Final, Literal, NamedTuple, TypeAlias

Kind: TypeAlias = Literal["string", "word", "number", "space", "break", "mark", "value"]

_TOKEN = re.compile(
    r"""(?P<string>"(?:[^"\\]|\\.)*")
      | (?P<break>\\(?=\s|$))
      | (?P<escape>\\.)
      | (?P<word>[A-Za-z]+(?:\.[a-z]+)*|[^\W\d_])
      | (?P<number>\d+(?:\.\d+)?)
      | (?P<space>\s+)
      | (?P<mark><=|>=|!=|->|.)""",
    re.VERBOSE,
)

_WIDE: Final = "\N{EM SPACE}"

_GREEK_NAMES: Final = (
    "alpha beta gamma delta epsilon zeta eta theta iota kappa lambda mu "
    "nu xi omicron pi rho sigma tau upsilon phi chi psi omega"
)
_GREEK: Final = dict(zip(_GREEK_NAMES.split(), "αβγδεζηθικλμνξοπρστυφχψω", strict=True))
_LETTERS: Final = {
    **_GREEK,
    **{name.capitalize(): letter.upper() for name, letter in _GREEK.items()},
    "epsilon.alt": "ϵ",
    "theta.alt": "ϑ",
    "phi.alt": "ϕ",
    "ell": "ℓ",
    "oo": "∞",
    "infinity": "∞",
    "degree": "°",
}
_FUNCTIONS: Final = (
    "sin cos tan cot arcsin arccos arctan atan2 sinh cosh tanh coth "
    "exp ln log lg min max mod sup inf lim"
)
# Names that stand between operands or before one: nothing is multiplied across them.
_OPERATORS: Final = {
    "dot": "·",
    "dot.c": "·",
    "dot.op": "·",
    "times": "×",
    "div": "÷",
    "plus.minus": "±",
    "minus.plus": "∓",
    "approx": "≈",
    "prop": "∝",
    "lt.eq": "≤",
    "gt.eq": "≥",
    "eq.not": "≠",
    "arrow.r": "→",
    "in": "∈",
    "sum": "∑",
    "product": "∏",
    "integral": "∫",
    "partial": "∂",
    "diff": "∂",
    "dif": "d",
    "nabla": "∇",
    "dots": "…",
    "dots.h": "…",
    "dots.c": "⋯",
    "quad": _WIDE,
    "thin": " ",
    "med": " ",
    "thick": " ",
    "slash": "/",
    **{name: name for name in _FUNCTIONS.split()},
}
_MARKS: Final = {"<=": "≤", ">=": "≥", "!=": "≠", "->": "→", "*": "∗", "&": _WIDE, "'": "′"}
_BRACKETS: Final = {"(": ")", "[": "]", "{": "}"}
_ACCENTS: Final = {
    "dot": "\u0307",
    "dot.double": "\u0308",
    "hat": "\u0302",
    "tilde": "\u0303",
    "macron": "\u0304",
    "overline": "\u0304",
}
_FENCES: Final = {
    "sqrt": ("√(", ")"),
    "abs": ("|", "|"),
    "norm": ("‖", "‖"),
    "floor": ("⌊", "⌋"),
    "ceil": ("⌈", "⌉"),
}
_TRANSPARENT: Final = frozenset(
    ("upright", "italic", "bold", "cal", "sans", "serif", "op", "lr", "display", "inline")
)


class _Token(NamedTuple):  # compared by the thousand: a tuple is so at once
    kind: Kind
    text: str


@lru_cache(maxsize=1024)
def plain(formula: str) -> str:
    """Return a formula in Typst mathematics as text for a terminal.

    Greek names become letters, ``p_"max"`` becomes ``p_max``, products and relations
    their signs; fractions stay ``a / b`` and powers ``^``; ``\\`` starts a new line.
    """
    return _tidy(_Reader(_tokens(formula), products=False).sequence())


def with_numbers(formula: str, numbers: Mapping[str, str]) -> str:
    """Return the formula as text with a number in place of every symbol that has one.

    Parameters
    ----------
    formula : Typst mathematics
    numbers : text to put in, by symbol (Typst mathematics); a symbol is replaced only where
        it stands whole: not inside a subscript, a quotation or a longer symbol
    """
    return _with_numbers(formula, tuple(numbers.items()))


@lru_cache(maxsize=4096)  # one working stands behind many checks
def _with_numbers(formula: str, numbers: tuple[tuple[str, str], ...]) -> str:
    return _tidy(_Reader(_put_in(_tokens(formula), numbers), products=True).sequence())


@lru_cache(maxsize=4096)
def _tokens(formula: str) -> tuple[_Token, ...]:
    tokens: list[_Token] = []
    for match in _TOKEN.finditer(formula):
        kind, text = str(match.lastgroup), match.group()
        if kind == "escape":
            tokens.append(_Token("mark", text[1:]))
        elif kind == "space":
            tokens.append(_Token("space", " "))
        else:
            tokens.append(_Token(kind, text))  # type: ignore[arg-type]
    return tuple(tokens)


def _put_in(tokens: tuple[_Token, ...], numbers: tuple[tuple[str, str], ...]) -> list[_Token]:
    symbols = sorted(
        ((_tokens(symbol), text) for symbol, text in numbers if symbol),
        key=lambda pair: len(pair[0]),
        reverse=True,
    )
    firsts = {symbol[0] for symbol, _ in symbols}
    result: list[_Token] = []
    at = 0
    while at < len(tokens):
        for symbol, text in symbols if tokens[at] in firsts else ():
            end = at + len(symbol)
            if tokens[at:end] == symbol and _stands_whole(tokens, at, end):
                result.append(_Token("value", text))
                at = end
                break
        else:
            end = _end_of_subscript(tokens, at)
            result.extend(tokens[at:end])
            at = end
    return result


def _stands_whole(tokens: tuple[_Token, ...], start: int, end: int) -> bool:
    before = [token.text for token in tokens[max(0, start - 2) : start]]
    after = tokens[end].text if end < len(tokens) else ""
    if after in ("_", "'"):
        return False
    # 'Delta p' and 'dot(gamma)' are symbols of their own, not p and gamma
    return not (
        len(before) == 2
        and (before == ["Delta", " "] or (before[1] == "(" and before[0] in _ACCENTS))
    )


def _end_of_subscript(tokens: tuple[_Token, ...], at: int) -> int:
    """Index after the token at ``at``, or after the whole subscript that starts there."""
    if tokens[at].text != "_" or tokens[at].kind != "mark":
        return at + 1
    end = at + 1
    if end < len(tokens) and tokens[end].text == "(":
        depth = 0
        while end < len(tokens):
            depth += {"(": 1, ")": -1}.get(tokens[end].text, 0)
            if depth == 0:
                break
            end += 1
    return min(end + 1, len(tokens))


class _Reader:
    """Reads tokens from left to right and writes text.

    With ``products`` a sign stands where Typst multiplies by mere adjacency:
    '2 379.2 MPa' would read as one number.
    """

    def __init__(self, tokens: Sequence[_Token], products: bool) -> None:
        self.tokens = tokens
        self.at = 0
        self.products = products
        text = "".join(token.text for token in tokens)
        self.result = plain(text.split("=")[0]) if products else ""

    def peek(self) -> str:
        return self.tokens[self.at].text if self.at < len(self.tokens) else ""

    def take(self) -> _Token:
        token = self.tokens[self.at]
        self.at += 1
        return token

    def sequence(self, stop: str = "") -> str:
        """Text up to one of the marks in ``stop``, which is left unread."""
        text, after_operand, last = "", False, _Token("mark", "")
        while self.at < len(self.tokens):
            token = self.tokens[self.at]
            if token.kind == "mark" and token.text in tuple(stop):
                break
            if token.kind == "space":
                self.at += 1
                text += " "
                continue
            operand, piece = self.atom()
            if after_operand and operand and self.multiplies(last, token, text, piece):
                text = text.rstrip() + " · "
            text, after_operand, last = text + piece, operand, token
        return text

    def multiplies(self, last: _Token, token: _Token, text: str, piece: str) -> bool:
        """Whether two operands side by side need a sign between them."""
        if token.kind == "number" and last.kind == "number":
            return True  # '0.9 1/2' without a sign reads as a mixed number
        if not self.products:
            return False
        if token.text != "(" or last.kind == "value":
            return True
        # 'F(Y)', 'p_c (D, t)' and 'C = C (z)' name a function of the group; 'D (1 - x)' multiplies
        called = text[-1:] != " " and last.kind == "word"
        return not (called or _is_list(piece) or text.rstrip().endswith(f"= {self.result}"))

    def atom(self) -> tuple[bool, str]:
        """Return whether the next thing can be multiplied, and its text with its scripts."""
        token = self.take()
        if token.text == "Delta" and token.kind == "word" and self.peek() == " ":
            self.at += 1
            return True, "Δ" + self.atom()[1]
        operand, text = self.base(token)
        while self.peek() in ("_", "^", "'") and operand is not None:
            mark = self.take().text
            if mark == "'":
                text += "′"
            elif self.at < len(self.tokens):
                text = self.script(mark, token, text)
        return bool(operand), text

    def base(self, token: _Token) -> tuple[bool | None, str]:
        if token.kind == "string":
            return False, token.text[1:-1]
        if token.kind == "break":
            return None, "\n"
        if token.kind == "number":
            return True, token.text
        if token.kind == "value":
            return True, f"({token.text})" if self.needs_brackets(token) else token.text
        if token.kind == "word":
            return self.word(token.text)
        if token.text in _BRACKETS:
            return True, self.group(token.text)
        return None, _MARKS.get(token.text, token.text)

    def needs_brackets(self, value: _Token) -> bool:
        """A sign, or a unit with a stroke under a stroke: 'a / 2 1/GPa' reads wrongly."""
        before = "".join(token.text for token in self.tokens[max(0, self.at - 3) : self.at - 1])
        under = before.rstrip().endswith("/") and "/" in value.text
        return under or value.text.startswith(("-", "−"))

    def word(self, name: str) -> tuple[bool, str]:
        if self.peek() == "(":
            if name in _FENCES:
                left, right = _FENCES[name]
                return True, left + self.group()[1:-1] + right
            if name in _TRANSPARENT:
                return name != "op", self.group()[1:-1]
            if name in _ACCENTS:
                inner = self.group()[1:-1]
                return True, inner + _ACCENTS[name] if len(inner) == 1 else f"{name}({inner})"
            if name in ("frac", "root", "cases"):
                return True, self.call(name)
        if name in _LETTERS:
            return True, _LETTERS[name]
        return name not in _OPERATORS, _OPERATORS.get(name, name)

    def group(self, opening: str = "") -> str:
        """Text of a group with its brackets; the opening one may have been read already."""
        opening = opening or self.take().text
        closing = _BRACKETS[opening]
        inner = self.sequence(closing).strip()
        self.at += 1
        return f"{opening}{inner}{closing}"

    def call(self, name: str) -> str:
        self.at += 1
        parts = [self.sequence(",)").strip()]
        while self.peek() == ",":
            self.at += 1
            parts.append(self.sequence(",)").strip())
        self.at += 1
        if name == "frac" and len(parts) == 2:
            return f"{_bracketed(parts[0])} / {_bracketed(parts[1])}"
        if name == "root" and len(parts) == 2:
            return f"({parts[1]})^(1/{parts[0]})"
        return "\n  ".join(["", *parts]) if name == "cases" else f"{name}({', '.join(parts)})"

    def script(self, mark: str, owner: _Token, text: str) -> str:
        token = self.take()
        sign = ""
        if token.text == "-" and self.at < len(self.tokens):
            sign, token = "-", self.take()
        if token.kind == "space":
            return f"{text}{mark}{sign} "
        products, self.products = self.products, self.products and mark == "^"
        inner = sign + self.base(token)[1]
        self.products = products
        if token.text == "(" and token.kind == "mark":
            inner = inner[1:-1]
        if mark == "_":
            bare = inner.replace(" ", "")
            return f"{text}_{bare}" if bare.isalnum() else f"{text}_({inner})"
        if owner.kind == "value" and " " in text and not text.startswith("("):
            text = f"({text})"  # the power is of the number with its unit
        simple = re.fullmatch(r"\w+|[\d.]+", inner) or (token.kind == "value" and inner[0] == "(")
        return f"{text}^{inner}" if simple else f"{text}^({inner})"


def _is_list(group: str) -> bool:
    """Whether commas part a bracketed group itself, not only a group inside it."""
    inner = group[1:-1]
    while inner != (flatter := re.sub(r"\([^()]*\)", "", inner)):
        inner = flatter
    return "," in inner


def _bracketed(text: str) -> str:
    return text if re.fullmatch(r"[\w.′]+", text) else f"({text})"


def _tidy(text: str) -> str:
    text = re.sub(rf" *{_WIDE}[ {_WIDE}]*", "   ", text)
    lines = (line.rstrip() for line in text.split("\n") if line.strip())
    return "\n".join(line if line.startswith("  ") else line.lstrip() for line in lines)
