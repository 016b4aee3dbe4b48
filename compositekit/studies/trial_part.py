"""The part as a trial panel was made, and how that differs from the part as it stands now.

Readings are reduced with the layup and resin that were tried, so that no later change of the part moves them.
"""

from __future__ import annotations


def trial_part(part, trial):
    """The part with the layup and resin of this trial panel in its zone."""
    layup = part.layup if trial.layup is None else part.layup | {trial.zone: trial.layup}
    return part.model_copy(update={"layup": layup, "resin": part.resin if trial.resin is None else trial.resin})


def other_panel(part, trial, catalogue) -> str:
    """What sets the panel apart from the part as it stands, and what carries over, in words; empty where nothing does."""
    tried = trial_part(part, trial)
    then, now = tried.layup[trial.zone], part.layup[trial.zone]
    layup, resin = _stack(then) != _stack(now), tried.resin != part.resin
    if not layup and not resin:
        return ""
    apart = [f"another layup ({'; the part now has '.join(_words(then, now, catalogue))})"] if layup else []
    apart += [f"another resin ({catalogue.resin(tried.resin).name}; the part now has {catalogue.resin(part.resin).name})"] if resin else []
    same_cloth = bool(_fabrics(then) & _fabrics(now))
    over = {(True, False): "only cloth, resin and flow carry over", (True, True): "only the cloth and its permeability carry over",
            (False, False): "only the resin carries over", (False, True): "only what it says of the shop carries over"}[same_cloth, resin]
    return f"This panel was {' and '.join(apart)}: its stiffness does not speak for the part as it stands; {over}."


def missing_trial(part) -> str:
    """The zones that were tried, but not in the layup and resin they have now, in words; empty where a trial stands for each."""
    layups = _untried(part, lambda trial: _stack(trial_part(part, trial).layup[trial.zone]) == _stack(part.layup[trial.zone]))
    both = _untried(part, lambda trial: _stands(part, trial))
    if not both:
        return ""
    what = "layup" if layups == both else "layup and resin"
    return f"No trial panel of this {what} yet: make one before the part (zone {', '.join(both)})."


def _stands(part, trial):
    tried = trial_part(part, trial)
    return _stack(tried.layup[trial.zone]) == _stack(part.layup[trial.zone]) and tried.resin == part.resin


def _untried(part, stands):
    kept = {trial.zone for trial in part.trials if stands(trial)}
    return [zone for zone in dict.fromkeys(trial.zone for trial in part.trials) if zone not in kept]


def _stack(layup):
    """All that makes two layups the same panel, however their sizes are written."""
    faces = tuple(tuple((ply.fabric, round(ply.angle.m_as("deg"), 3)) for ply in face) for face in (layup.outside, layup.inside))
    core = layup.core
    return faces, None if core is None else (core.core, round(core.thickness.m_as("mm"), 4), core.cut)


def _fabrics(layup):
    return {ply.fabric for ply in (*layup.outside, *layup.inside)}


def _words(then, now, catalogue):
    """Both layups, as briefly as tells them apart: by their materials only where these differ."""
    brief = _brief(then), _brief(now)
    cores = {layup.core.core for layup in (then, now) if layup.core is not None}
    same = _fabrics(then) == _fabrics(now) and len(cores) < 2 and brief[0] != brief[1]
    return brief if same else (_full(then, catalogue), _full(now, catalogue))


def _brief(layup):
    if layup.core is None:
        plies = len(layup.outside) + len(layup.inside)
        return f"{plies} {'ply' if plies == 1 else 'plies'} without a core"
    return f"{len(layup.outside)}+{len(layup.inside)} plies on {layup.core.thickness.m_as('mm'):.3g} mm, {layup.core.cut}"


def _full(layup, catalogue):
    faces = [", ".join(f"{catalogue.fabric(ply.fabric).name} at {ply.angle.m_as('deg'):.3g}°" for ply in face) for face in (layup.outside, layup.inside)]
    core = layup.core
    middle = [] if core is None else [f"{catalogue.core(core.core).name} {core.thickness.m_as('mm'):.4g} mm, {core.cut}"]
    return " / ".join(words for words in (faces[0], *middle, faces[1]) if words)
