"""Textbook layup notation, read and written: ``[0/45/-45/90]s``, ``[(0/90)2/±45]s``, ``[0/90/core/90/0]``.

Plies stand from the outer face inwards, angles in degrees::

    [0/90]s        mirrored at the middle        [0/90]2s    twice, then mirrored      [0/90]2   twice
    0_2 or 0₂      the ply twice                 (0/90)2     the group twice           ±45, ∓45  two plies, 45/-45, -45/45
    [0/45/90̅]s     the barred ply is the middle one and stands once (bar: U+0305 after the figure)
    [0 carbon/90 glass]   a ply's name after its angle, or before it; a core or a mat needs no angle
"""

from __future__ import annotations

from dataclasses import dataclass, field
from types import MappingProxyType

import numpy as np

from ..errors import ShapeError
from ..units import Q_
from .laminate import Laminate
from .layup_reader import BARS, LayupReader, alike_every_way, default_name, named_plies, wrong_angle


@dataclass(frozen=True)
class Layup:
    """A stack by name: which ply, at which angle, from the outer face inwards.

    names    name of each ply, a key of ``plies``
    degrees  angle of each ply in degrees, from -180 to 180
    plies    the Ply behind each name
    Raises ShapeError for an empty stack, unequal lengths, an unknown name or an angle out of bounds.
    Two layups are equal when names and angles are.
    """

    names: tuple[str, ...]
    degrees: tuple[float, ...]
    plies: MappingProxyType = field(compare=False, repr=False)

    def __post_init__(self):
        object.__setattr__(self, "names", tuple(self.names))
        object.__setattr__(self, "degrees", tuple(float(value) + 0.0 for value in self.degrees))
        object.__setattr__(self, "plies", MappingProxyType(named_plies(self.plies)))
        if not self.names or len(self.names) != len(self.degrees):
            raise ShapeError(f"Layup: {len(self.names)} names came with {len(self.degrees)} angles; "
                             "give at least one ply and one angle for each.")
        for place, (name, degrees) in enumerate(zip(self.names, self.degrees, strict=True)):
            if name not in self.plies:
                raise ShapeError(f'Layup: ply {place} is "{name}", but the plies given are {", ".join(self.plies)}.')
            if wrong := wrong_angle(degrees):
                raise ShapeError(f"Layup: ply {place}: {wrong}.")

    def __len__(self):
        return len(self.names)

    @property
    def angles(self):
        """Angle of each ply [deg]."""
        return Q_(np.array(self.degrees), "deg")

    def laminate(self):
        """The Laminate of these plies."""
        return Laminate([self.plies[name] for name in self.names], self.angles)


def read_layup(text, plies):
    """The stack that a layup in textbook notation describes.

    text   the layup, e.g. "[0/45/-45/90]s"; this module's head tells what may stand in it
    plies  a Ply, or a dict of name to Ply where the text names them; an angle without a name is the only ply with a
           direction
    Returns a Layup; ``.laminate()`` is its Laminate.
    Raises ShapeError showing the text with a caret under the character that does not fit, and what was expected there.
    Source: notation as in Jones, Mechanics of Composite Materials, ch. 4 (from memory)
    """
    if not isinstance(text, str):
        raise ShapeError(f'read_layup: a layup is text like "[0/90]s", but came as {type(text).__name__}.')
    table = named_plies(plies)
    stack = LayupReader(text, table).layup()
    return Layup(*zip(*stack, strict=True), table)


def write_layup(layup):
    """Textbook notation of a layup, as short as mirrors, repeats and pairs make it; ``read_layup`` gives it back.

    layup  a Layup
    Returns text, e.g. "[±45/0_2/90]s".
    Raises ShapeError when layup is something else.
    """
    if not isinstance(layup, Layup):
        raise ShapeError(f"write_layup: a Layup is wanted, but {type(layup).__name__} came; read_layup makes one.")
    stack = list(zip(layup.names, layup.degrees, strict=True))
    default = default_name(layup.plies)

    def word(ply, bar=""):
        name, degrees = ply
        if degrees == 0 and name != default and alike_every_way(layup.plies[name]):
            return f"{name}{bar}"
        return f"{np.format_float_positional(degrees, trim='-')}{bar}{'' if name == default else f' {name}'}"

    if len(set(stack)) == 1:
        return f"[{_items(stack, word)}]"
    half, odd = divmod(len(stack), 2)
    if stack == stack[::-1]:
        if odd:
            return f"[{_items(stack[:half], word)}/{word(stack[half], BARS[0])}]s"
        unit, times = _period(stack[:half])
        return f"[{_items(unit, word)}]{times if times > 1 else ''}s"
    unit, times = _period(stack)
    return f"[{_items(unit, word)}]{times if times > 1 else ''}"


def _period(stack):
    size = next(size for size in range(1, len(stack) + 1) if stack[:size] * (len(stack) // size) == stack)
    return stack[:size], len(stack) // size


def _items(stack, word):
    items, at = [], 0
    while at < len(stack):
        name, degrees = stack[at]
        step = [(name, degrees), (name, -degrees)] if degrees and stack[at:at + 2] == [
            (name, degrees), (name, -degrees)] else [(name, degrees)]
        times = 1
        while stack[at + len(step) * times:][:len(step)] == step:
            times += 1
        sign = "" if len(step) == 1 else "±" if degrees > 0 else "∓"
        items.append(f"{sign}{word((name, abs(degrees)) if sign else (name, degrees))}" + (f"_{times}" if times > 1 else ""))
        at += len(step) * times
    return "/".join(items)
