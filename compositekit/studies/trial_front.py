"""The flow front of a trial panel: a straight line of distance squared on fresh time, and the permeability it gives.

The resin thickens while it runs, so the clock is turned into fresh time first, as the flow study does.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from ..errors import RangeError
from ..infusion.ageing import clock_or_never, fresh_time
from ..infusion.front_fit import FrontFit, early_readings_off, permeability_from_front
from ..infusion.stack import effective_permeability
from ..infusion.vacuum import standard_atmosphere
from .flow_stack import zone_courses
from .room_resin import RoomResin, room_resin

LEAST = 3         # readings that a line with its error needs


@dataclass(frozen=True, eq=False)
class TrialFront:
    """The front log and its line, SI floats and arrays.

    times, distances    every reading on the clock [s], [m]; ``used`` marks those in the line
    ages                the readings' fresh time: in which resin that stayed fresh would have run as far [s]
    slope, offset       distance squared = offset + slope times fresh time [m^2/s], [m^2]
    misses              distance read less distance on the line [m]
    flagged             early readings that lie off the line of the later ones, counted from the start
    fit                 permeability of the cloth with its standard error
    filling             resin that the slowest skin takes, core faces and all, over the thickness of its cloth [1]
    expected            permeability of the cloths in the catalogue: low, typical, high [m^2]
    expected_slope      slope that the flow study calculates for the slowest skin of this layup [m^2/s]
    """

    times: np.ndarray
    distances: np.ndarray
    ages: np.ndarray
    used: np.ndarray
    slope: float
    offset: float
    misses: np.ndarray
    flagged: int
    fit: FrontFit
    filling: float
    pressure: float
    viscosity: float
    resin: RoomResin
    expected: tuple[float, float, float]
    expected_slope: float

    def fitted(self, times):
        """Distance squared [m^2] of the fit at these times on the clock [s]."""
        return self.offset + self.slope * fresh_time.si(times, self.resin.doubling_time)

    def planned(self, times):
        """Distance squared [m^2] by the sum of the flow study."""
        return self.expected_slope * fresh_time.si(times, self.resin.doubling_time)

    @property
    def fit_words(self) -> str:
        """How well the readings lie on the line, and where it starts."""
        used = np.flatnonzero(self.used)
        worst = used[np.argmax(np.abs(self.misses[used]))]
        start = float(clock_or_never(-self.offset / self.slope, self.resin.doubling_time))
        began = (f"the line starts {start:.0f} s after the clock, as when resin had to run through the hose first" if start > 0 else
                 f"the line has a head start of {1e3 * np.sqrt(self.offset):.0f} mm, as when the clock was started late")
        return (f"Of the readings used, the one at {self.times[worst] / 60:g} min lies farthest off the line, by "
                f"{1e3 * abs(self.misses[worst]):.0f} mm; {began}.")


def read_trial_front(log, trial, part, catalogue, build, skip_early: int, viscosity_factor: float) -> TrialFront:
    """The line through a front log, ``part`` as the panel was made. Raises RangeError where too few readings are left or the front does not advance."""
    times, distances = log.times.m_as("s"), log.distances.m_as("m")
    if not 0 <= skip_early <= len(times) - LEAST:
        raise RangeError(f"{skip_early} early readings are to be left out of {len(times)}, but {LEAST} must be left for a line; leave out "
                         f"{len(times) - LEAST} at most.")
    if not viscosity_factor > 0:
        raise RangeError(f"viscosity_factor is {viscosity_factor}, but must be above 0.")
    resin = room_resin(catalogue.resin(part.resin), trial.temperature.m_as("K"))
    viscosity = resin.viscosity * viscosity_factor
    pressure = standard_atmosphere.si(part.workshop.altitude.m_as("m")) - trial.bag_pressure.m_as("Pa")
    if pressure <= 0:
        raise RangeError(f'trial "{trial.name}": the bag pressure, {trial.bag_pressure:~P}, is not below that of the air; give absolute pressure.')
    courses = zone_courses(build, part.layup[build.name], catalogue, catalogue.resin(part.resin).si.density_liquid, "along")
    slowest = min(courses, key=_speed)
    used = np.arange(len(times)) >= skip_early
    ages = fresh_time.si(times, resin.doubling_time)
    plain = permeability_from_front.si(distances[used], ages[used], 1.0, viscosity, pressure).si   # as if all of it were open
    slope = plain.permeability * 2 * pressure / viscosity
    on_line = np.sqrt(np.maximum(plain.intercept + slope * ages, 0.0))
    filling = (slowest.storage + slowest.runner_storage) / slowest.thickness
    cloth = filling * slowest.carry / (slowest.carry + slowest.runner_carry)
    fit = FrontFit.from_si(permeability=cloth * plain.permeability, standard_error=cloth * plain.standard_error,
                           intercept=plain.intercept, intercept_error=plain.intercept_error, readings=plain.readings)
    expected_slope = 2 * _speed(slowest) * pressure / viscosity
    return TrialFront(times, distances, ages, used, slope, plain.intercept, distances - on_line, early_readings_off.si(distances, ages), fit, filling,
                      pressure, viscosity, resin, _expected(build, catalogue), expected_slope)


def _speed(course):
    return (course.carry + course.runner_carry) / (course.storage + course.runner_storage)


def _expected(build, catalogue):
    thickness = [ply.si.thickness for ply in build.plies]
    ranges = [catalogue.fabric(key).range("permeability") for key in (*build.outer_keys, *build.inner_keys)]
    return tuple(float(effective_permeability.si(thickness, [r[case].m_as("m^2") for r in ranges])) for case in range(3))
