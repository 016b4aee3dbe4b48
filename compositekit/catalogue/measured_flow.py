"""Published and remembered permeabilities: what was found, at which fibre fraction, how, and how far to trust it."""

from __future__ import annotations

from dataclasses import dataclass

import pint

from ..units import Q_

Quantity = pint.Quantity


@dataclass(frozen=True)
class Permeability:
    """A permeability somebody measured, assumed or remembers, with the fibre fraction it goes with. Not a promise: run a trial panel.

    ``within_laboratory``, ``between_laboratories`` are coefficients of variation.
    """

    key: str
    title: str
    case: str
    form: str
    fibre_fraction_low: float | None
    fibre_fraction_high: float | None
    low: Quantity | None
    given: Quantity | None
    high: Quantity | None
    through_low: Quantity | None
    through_high: Quantity | None
    across_ratio: float | None
    within_laboratory: float | None
    between_laboratories: float | None
    method: str
    source: str
    grade: str
    remark: str

    def range(self) -> tuple[Quantity | None, Quantity | None, Quantity | None]:
        """Low, typical and high; typical is the figure given, else the middle of the range by ratio."""
        if self.given is not None:
            return self.low or self.given, self.given, self.high or self.given
        return self.low, self.typical, self.high

    @property
    def typical(self) -> Quantity | None:
        """The figure given, or the middle of the range by ratio; None where only the spread is known."""
        if self.given is not None or self.low is None:
            return self.given
        return (self.low * self.high) ** 0.5

    @classmethod
    def of_row(cls, key: str, row: dict) -> Permeability:
        """The record of a row of permeability.csv."""
        ends = {field: _area(row[f"{column}_m2"]) for field, column in (
            ("low", "permeability_low"), ("given", "permeability"), ("high", "permeability_high"),
            ("through_low", "permeability_through_low"), ("through_high", "permeability_through_high"))}
        words = {name: row[name] for name in ("title", "case", "form", "fibre_fraction_low", "fibre_fraction_high", "within_laboratory",
                                              "between_laboratories", "method", "source", "grade", "remark")}
        return cls(key=key, across_ratio=row["permeability_across_ratio"], **ends, **words)


def _area(number):
    return None if number is None else Q_(number, "m^2")
