"""Permeability as the shop's own trial panel showed it, ready for the flow study."""

from __future__ import annotations

from pathlib import Path

from ..part.tables import read_front
from ..units import Q_
from .build import zone_build
from .trial_front import read_trial_front
from .trial_part import trial_part


def measured_permeability(part, catalogue, folder) -> tuple[dict, str]:
    """Permeability by fabric key from the front logs of the part's trials, and what was found in words.

    folder  where the part file and its tables lie
    Only a zone laid up from one fabric can be read so: its catalogue figure is scaled by the slope the front showed over
    the slope the flow study expects for the layup that was tried. Raises PartFileError, RangeError for a log that cannot be read.
    """
    found, said = {}, []
    for trial in part.trials:
        if not trial.front_log:
            continue
        as_made = trial_part(part, trial)
        build = zone_build(as_made, catalogue, trial.zone)
        keys = set(build.outer_keys + build.inner_keys)
        if len(keys) > 1:
            said.append(f'Trial "{trial.name}" holds several fabrics, so its front log does not say which one is slow.')
            continue
        log = read_front(Path(folder) / trial.front_log)
        front = read_trial_front(log, trial, as_made, catalogue, build, 0, 1.0)
        if front.flagged:
            front = read_trial_front(log, trial, as_made, catalogue, build, front.flagged, 1.0)
        key = keys.pop()
        typical = catalogue.fabric(key).permeability
        found[key] = Q_(typical.m_as("m^2") * front.slope / front.expected_slope, "m^2")
        said.append(f'Trial "{trial.name}": the front ran {front.slope / front.expected_slope:.2g} times as fast (distance squared per time) as the catalogue\'s '
                    f"permeability of {catalogue.fabric(key).name} says; that is {found[key].m_as('m^2'):.2g} m² in place of {typical.m_as('m^2'):.2g} m². {_sure(front.fit)}")
    return found, " ".join(said)


def _sure(fit):
    """How well one panel knows it."""
    _, high = fit.interval(0.95)
    return (f"By the scatter of its {fit.si.readings:g} readings that is known to ± {100 * (high / fit.permeability - 1).m:.2g} % (95 times of 100); "
            "another panel of the same shop differs by about 10 % besides.")
