"""Reads one layup in textbook notation, character by character; what may stand in it is told in ``notation``."""

from __future__ import annotations

import re

import numpy as np

from ..errors import ShapeError
from .angles import radians_in_disguise
from .ply import Ply

MOST_PLIES = 1000   # a layup above this is a slip of the finger in a repeat
DEEPEST = 10        # groups within groups
BARS = "\u0305\u0304"   # combining overline and macron
_SUBSCRIPTS = str.maketrans("₀₁₂₃₄₅₆₇₈₉", "0123456789")
_SPACE = re.compile(r"\s*")
_SIGN = re.compile(r"±|∓|\+/-|-/\+|\+-|-\+|\+|-|−")
_DIGITS = rf"(?:\d[{BARS}]*)+"
_NUMBER = re.compile(rf"({_DIGITS}\.?(?:{_DIGITS})?|\.{_DIGITS})\s*°?")
_REPEAT = re.compile(r"_\s*\{?\s*(\d+)\s*\}?|([₀-₉]+)")
_AFTER = re.compile(r"_?\s*\{?\s*(?:(\d+)|([₀-₉]+))?\s*([sStT](?!\w))?\s*\}?")   # 2s, _2s, _{2s}
_PLAIN_REPEAT = re.compile(r"_?\s*\{?\s*(\d+)\s*\}?|([₀-₉]+)")
_SIGNS = {"±": (1, -1), "+-": (1, -1), "+/-": (1, -1), "∓": (-1, 1), "-+": (-1, 1), "-/+": (-1, 1), "-": (-1,), "−": (-1,)}


def named_plies(plies):
    """Plies by name, from a Ply alone or a dict; ShapeError for a name the notation could misread."""
    table = {"ply": plies} if isinstance(plies, Ply) else dict(plies) if hasattr(plies, "items") else {}
    if not table or not all(isinstance(ply, Ply) for ply in table.values()):
        raise ShapeError('layup: plies must be a Ply, or a dict such as {"glass": Ply, "core": Ply}.')
    for name in table:
        if not isinstance(name, str) or not re.fullmatch(r"[^\W\d_](?:[^/()\[\]±∓°]*[^/()\[\]±∓°\s_])?", name) or re.search(
                rf"_\d+$|[₀-₉{BARS}]", name):
            raise ShapeError(f'layup: "{name}" cannot be a ply\'s name: it must start with a letter, hold no / ( ) [ ] or '
                             "sign, and not end like a repeat (_2).")
    return table


def alike_every_way(ply):
    """True for a ply whose angle makes no difference: a core, a mat."""
    si = ply.si
    return si.e1 == si.e2 and abs(si.g12 - si.e1 / (2 * (1 + si.nu12))) <= 1e-9 * si.g12


def default_name(plies):
    """Name an angle without a name stands for: the only ply, or the only one with a direction; None if open."""
    directed = [name for name, ply in plies.items() if not alike_every_way(ply)]
    return next(iter(plies)) if len(plies) == 1 else directed[0] if len(directed) == 1 else None


def wrong_angle(degrees):
    """What is wrong with an angle in degrees, in words; None for a good one."""
    if not abs(degrees) <= 180:   # NaN too
        return f"{degrees:g} is not an angle from -180 to 180 degrees"
    if radians_in_disguise(degrees):
        return (f"{degrees:g} looks like radians: {degrees:g} rad is {round(np.degrees(degrees) / 15) * 15} degrees, "
                "and layups are written in degrees")
    return None


class LayupReader:
    """Reads one layup from left to right; ``at`` is the character it stands before."""

    def __init__(self, text, plies):
        self.text, self.at, self.depth = re.sub(r"\s", " ", text), 0, 0
        self.plies, self.default = plies, default_name(plies)
        self.by_length = sorted(plies, key=len, reverse=True)   # so that glass-200 is not read as glass

    def fail(self, words, at=None):
        at = self.at if at is None else at
        caret = "".join("" if c in BARS else " " for c in self.text[:at])
        raise ShapeError(f"layup, character {at + 1}: {words}\n  {self.text}\n  {caret}^")

    def take(self, pattern):
        self.at = _SPACE.match(self.text, self.at).end()
        match = pattern.match(self.text, self.at) if isinstance(pattern, re.Pattern) else None
        if match:
            self.at = match.end()
            return match
        if isinstance(pattern, str) and self.text.startswith(pattern, self.at):
            self.at += len(pattern)
            return pattern
        return None

    def layup(self):
        self.take("[") or self.fail("expected [ to open the layup, as in [0/90]s")
        items, bar = self.items("]")
        end = self.at
        after = self.take(_AFTER)
        times, mirrored = self.times(after), (after[3] or "") in ("s", "S")
        self.take(_SPACE)
        if self.at < len(self.text):
            self.fail("expected the end: after ] may stand a repeat and s (mirrored) or T (whole), as in ]2s")
        if bar is not None and (not mirrored or times > 1):
            self.fail("a barred ply is the middle of a mirrored layup: expected ]s after it" if not mirrored else
                      "a layup with a barred middle ply is not repeated: expected ]s", bar if not mirrored else end)
        stack = self.limit(items, times)
        if mirrored:
            stack = self.limit(stack + (stack[:-1] if bar is not None else stack)[::-1], 1)
        return stack

    def items(self, close):
        """Plies up to ``close``, and where a bar stood over the last of them."""
        found, bar = [], None
        while True:
            more, bar = self.item()
            found = self.limit(found + more, 1)
            if self.take("/"):
                if bar is not None:
                    self.fail("a barred ply is the middle one: expected ] after it", self.at - 1)
                continue
            if self.take(close):
                if bar is not None and close == ")":
                    self.fail("a barred ply stands last in the layup, not in a group: expected no bar", bar)
                return found, bar
            self.fail(f"expected / and the next ply, or {close} to close")

    def item(self):
        if self.take("("):
            self.depth += 1
            if self.depth > DEEPEST:
                self.fail(f"groups stand {self.depth} deep: expected at most {DEEPEST}", self.at - 1)
            group, _bar = self.items(")")
            self.depth -= 1
            return self.limit(group, self.repeat(_PLAIN_REPEAT)), None
        name = self.name()
        sign, number = self.take(_SIGN), self.take(_NUMBER)
        if not number:
            return self.without_angle(name, sign, self.bar())
        at = number.start()
        bar = max((number.start() + k for k, c in enumerate(number[0]) if c in BARS), default=None)
        if name is None:
            self.take("_") if re.match(r"_\s*[^\W\d_]", self.text[self.at:]) else None   # a subscript letter: 0_C
            name = self.name()
        bar = self.bar() if bar is None else bar
        if name is None and self.default is None:
            self.fail(f"which ply? expected a name beside the angle: {', '.join(self.plies)}")
        degrees = float(re.sub(f"[{BARS}]", "", number[1]))
        if wrong := wrong_angle(degrees):
            self.fail(wrong, at)
        signs = _SIGNS.get(sign[0] if sign else "+", (1,))
        if bar is not None and len(signs) > 1:
            self.fail("two plies cannot both be the middle one: expected one angle under the bar", bar)
        return self.counted([(name or self.default, turn * degrees + 0.0) for turn in signs], bar)

    def without_angle(self, name, sign, bar):
        if sign or name is None:
            self.fail("expected an angle in degrees" if sign else
                      f"expected an angle in degrees, a ply's name ({', '.join(self.plies)}) or (")
        if not alike_every_way(self.plies[name]):
            self.fail(f'ply "{name}" is not alike every way: expected its angle in degrees')
        return self.counted([(name, 0.0)], bar)

    def counted(self, plies, bar):
        at = self.at
        times = self.repeat(_REPEAT)
        if bar is not None and times > 1:
            self.fail("the barred middle ply stands once: expected no repeat", at)
        return self.limit(plies, times), bar

    def name(self):
        self.take(_SPACE)
        for name in self.by_length:
            if self.text.startswith(name, self.at):
                self.at += len(name)
                return name
        return None

    def bar(self):
        at = self.at
        while self.at < len(self.text) and self.text[self.at] in BARS:
            self.at += 1
        return at - 1 if self.at > at else None

    def repeat(self, pattern):
        match = self.take(pattern)
        return self.times(match) if match else 1

    def times(self, match):
        if not (match[1] or match[2]):
            return 1
        times = int((match[1] or match[2]).translate(_SUBSCRIPTS)[:9])
        if not times:
            self.fail("nought repeats leave no ply: expected 1 or more", match.start(1 if match[1] else 2))
        return times

    def limit(self, plies, times):
        if len(plies) * times > MOST_PLIES:
            self.fail(f"that makes more than {MOST_PLIES} plies: expected a smaller repeat", max(self.at - 1, 0))
        return plies * times
