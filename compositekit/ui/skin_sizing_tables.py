"""Tables and words of page 03: what is sold in the band, the plies one by one, the layup in a line."""

from __future__ import annotations

import html

from ..mechanics.panel_peaks import EDGES
from ..studies.sag import FOLDS, MANY, sag_floor
from ..units import say
from . import tables
from .failure_map_picture import sag_word


def sold_words(result) -> str:
    """Which sheets sold lie in the band; empty where no sheets are listed."""
    if result.build.core.thicknesses is None:
        return ""
    low, high = (end.m_as("mm") for end in result.sweep.fits)
    within = [f"{sheet:.3g}" for sheet in sorted(result.build.core.thicknesses.m_as("mm")) if low - 1e-6 <= sheet <= high + 1e-6]
    return f"Sheets sold in it: {', '.join(within)} mm." if within else "No sheet sold lies in it."


def sweep_lines(sweep):
    return [sweep.deflection, sweep.skins, sweep.core, sweep.mass, sweep.flotation]


def stress_words(case):
    skins = max(share for name, share in case.use.items() if name.startswith("skin"))
    return case.skin_stress.max() if skins < FOLDS else MANY


def ply_rows(margins):
    """The margin of every ply at both faces as rows of a table; no strains where the sum means nothing any more."""
    share = f"of what is allowed (strength factor {margins.factor:.3g} taken off)"
    return [{"ply": f"{row.fabric} {row.angle:.0f}°", "face": row.face,
             **{name: 100 * strain if row.share < FOLDS else None for name, strain in zip(("strain along, %", "across, %", "shear, %"), row.strain, strict=True)},
             "before it breaks, times the load": row.ratio if row.share < FOLDS else f"less than {margins.factor / FOLDS:.2g}",
             share: f"{row.share:.0%}" if row.share < FOLDS else f"more than {FOLDS} times", "goes by": row.mode}
            for row in margins.rows]


def margin_words(margins):
    """The ply that gives first, and the first to give along its fibres, with what that rests on."""
    fibres = margins.least_of_fibres
    along = "" if fibres is None or fibres.words == margins.least.words else f" First to give along its fibres: {fibres.words}."
    return f"<p>{html.escape(f'First to give: {margins.least.words}.{along}')}</p>" + tables.bullets(margins.guesses, "The plies' own limits rest on")


def sag_shown(case, build):
    """The sag, or in words at least how much where the straight-line sum means nothing."""
    if case.use["deflection"] >= FOLDS:
        return MANY
    shown = sag_floor(case.deflection, case.deflection_limit, build.thickness)
    return say(shown, "mm") if shown >= case.deflection else f"more than {shown.m_as('mm'):.3g} mm"


def nearest_words(case):
    name, share = max(case.use.items(), key=lambda item: item[1])
    name = sag_word(name)
    return f"{name} ({share:.0%} of it)" if share < FOLDS else f"{name} (more than {FOLDS} times it)"


def plies_words(keys):
    return f"{len(keys)} {'ply' if len(keys) == 1 else 'plies'}"


def choice_words(result):
    edges = dict.fromkeys(case.edges for case in result.loads)
    return _layup_words(result) + ("" if [*edges] == [EDGES[0]] else f", panel edges {' and '.join(edges)}")


def _layup_words(result):
    build = result.build
    faces = [f"{plies_words(keys)} of {' and '.join(dict.fromkeys(keys))}" for keys in (build.outer_keys, build.inner_keys) if keys]
    core = f"{build.core_thickness * 1e3:.3g} mm {build.core.key}" if build.core else "no core"
    return f"outside {faces[0]}, {core}" + (f", inside {faces[1]}" if len(faces) > 1 else "")
