"""How much more each ply of a zone could take: the whole section, skins and core, as one laminate under the panel's moments.

SI floats and arrays inside. Design strains of the catalogue become strengths of a ply in its own axes by one rule,
``design_strengths``; the core's own shear, crushing and the wrinkling of skins are checked in ``panel_limits``.
"""

from __future__ import annotations

import functools
from dataclasses import dataclass
from typing import NamedTuple

import numpy as np

from ..errors import PartFileError, RangeError
from ..mechanics.criteria import CRITERIA, FIBRE_MODES, MODES, load_multipliers
from ..mechanics.laminate import Laminate
from ..mechanics.ply import STIFF_THROUGH_ONLY, core_ply
from ..units import Q_
from .build import ZoneBuild, design_stiffness
from .panel_limits import CROSS_FIBRE_STRAIN, SHEAR_STRAIN

SLACK_IN_PLANE = 1e3      # Pa: balsa, honeycomb and plywood stand up, but hardly resist being stretched as a sheet
FACES = ("outer face", "inner face")
CROSSWISE = {2: "crosswise fibre tension", 3: "crosswise fibre compression"}   # a cloth has fibres across, too
GUESSES = (
    f"a ply's design shear strain, {SHEAR_STRAIN:.2%}: read for one infused stitched glass cloth, taken for every cloth, since it is the resin that shears",
    f"a unidirectional ply's design strain across its fibres, {CROSS_FIBRE_STRAIN:.1%} pulled or pushed: own judgement",
)


class Through(NamedTuple):
    """What runs through the thickness under one load: straight within each layer, (layers, 2 faces), the core among them.

    z               m from the middle of the section, outer face negative
    strain_x, strain_y, stress_x, stress_y   along the panel's length and across it; stress in Pa
    """

    z: np.ndarray
    strain_x: np.ndarray
    strain_y: np.ndarray
    stress_x: np.ndarray
    stress_y: np.ndarray


class PlyMargin(NamedTuple):
    """One ply at one face under the load that is worst there; strain and stress (along, across, shear) in the ply's own axes, Pa.

    ratio  the load multiplier at which the ply reaches its design strain
    share  of the allowance used up, the strength factor taken off: 1 is the limit itself
    """

    ply: int
    fabric: str
    angle: float
    face: str
    strain: np.ndarray
    stress: np.ndarray
    ratio: float
    share: float
    mode: str
    words: str


@dataclass(frozen=True, eq=False)
class PlyMargins:
    """Every ply of a section under every load, both signs of the moment: arrays (loads x signs, layers, 2 faces, ...), SI.

    laminate        the whole section, outermost ply first; core is the index of its core layer, None without
    fabrics         what each layer is made of
    loads           N and M of each case, (cases, 6)
    strain, stress  in the plies' own axes (cases, layers, 2, 3); whole_strain, whole_stress in x, y, xy of the panel
    ratios, modes   load multiplier and index of MODES (cases, layers, 2); the core's ratio is inf
    both_ways       by layer, whether fibres run across as well as along: a balanced cloth or a mat
    factor          the brief's strength factor
    """

    laminate: Laminate
    core: int | None
    fabrics: tuple[str, ...]
    loads: np.ndarray
    strain: np.ndarray
    stress: np.ndarray
    whole_strain: np.ndarray
    whole_stress: np.ndarray
    ratios: np.ndarray
    modes: np.ndarray
    both_ways: np.ndarray
    factor: float
    guesses: tuple[str, ...] = GUESSES

    @property
    def least(self) -> PlyMargin:
        """The ply, face and load nearest its limit, in whatever mode."""
        return self._margin(*np.unravel_index(np.argmin(self.ratios), self.ratios.shape))

    @property
    def least_of_fibres(self) -> PlyMargin | None:
        """The same among failures along the fibres; None where the resin always gives first."""
        along_fibres = np.isin(self.modes, FIBRE_MODES) | np.isin(self.modes, list(CROSSWISE)) & self.both_ways[:, None]
        fibres = np.where(along_fibres, self.ratios, np.inf)
        if not np.isfinite(fibres.min()):
            return None
        return self._margin(*np.unravel_index(np.argmin(fibres), fibres.shape))

    @functools.cached_property
    def rows(self) -> tuple[PlyMargin, ...]:
        """Every ply at both faces, each under the load that is worst for it there, from outside to inside."""
        worst = self.ratios.argmin(axis=0)
        return tuple(self._margin(worst[ply, face], ply, face) for ply in range(len(self.fabrics)) if ply != self.core for face in range(2))

    def through(self, case: int | None = None) -> Through:
        """What runs through the thickness in one case; left out, the case of the least margin."""
        if case is None:
            case = np.unravel_index(np.argmin(self.ratios), self.ratios.shape)[0]
        elif not 0 <= case < len(self.loads):
            raise RangeError(f"through: case is {case}, but must be from 0 to {len(self.loads) - 1}.")
        edges = np.concatenate([[0.0], np.cumsum([ply.si.thickness for ply in self.laminate.plies])])
        edges -= edges[-1] / 2
        strain, stress = self.whole_strain[case], self.whole_stress[case]
        return Through(np.stack([edges[:-1], edges[1:]], axis=1), strain[..., 0], strain[..., 1], stress[..., 0], stress[..., 1])

    def _margin(self, case, ply, face):
        ratio, mode = float(self.ratios[case, ply, face]), int(self.modes[case, ply, face])
        mode = CROSSWISE.get(mode, MODES[mode]) if self.both_ways[ply] else MODES[mode]
        angle = float(self.laminate.angles[ply].m_as("deg"))
        number = ply + 1 - (self.core is not None and ply > self.core)
        words = f"ply {number} from outside, {self.fabrics[ply]} at {angle:.3g}°, {FACES[face]}: {mode} at {ratio:.3g} times the load"
        return PlyMargin(int(ply), self.fabrics[ply], angle, FACES[face], self.strain[case, ply, face], self.stress[case, ply, face],
                         ratio, self.factor / ratio, mode, words)


def ply_margins(catalogue, build: ZoneBuild, moments, factor=1.0, in_plane=None, criterion="max strain") -> PlyMargins:
    """Strain, stress and margin of every ply of a zone under the moments of its loads, each with both signs.

    moments    N, (Mx, My) or (Mx, My, Mxy) of one load, or several in rows: those that act together, with their signs, as
               ZoneLoad.moments gives them
    factor     the brief's strength factor
    in_plane   N/m, (Nx, Ny, Nxy) beside them, one or a row for each; left out, none
    criterion  as for mechanics.strength.strength_ratios; max strain compares with design strains themselves. Hashin's matrix
               modes are meant for unidirectional plies: in a cloth they stand for its crosswise fibres as well
    Raises PartFileError for a cloth without design strain, RangeError for an unknown criterion or moments of another shape.
    Source: Kaw, Mechanics of Composite Materials, ch. 4 and 5 (from memory); strengths as design_strengths
    """
    if not 0 < factor < np.inf:
        raise RangeError(f"ply_margins: factor is {factor}, but must be a number above nought.")
    if criterion not in CRITERIA:
        raise RangeError(f'ply_margins: criterion is "{criterion}", but must be one of {", ".join(CRITERIA)}.')
    loads = _cases(moments, in_plane)
    laminate, core, fabrics = whole_section(build)
    unit = [type(laminate).response.si(laminate, one[:3], one[3:]) for one in np.eye(6)[np.any(loads, axis=0)]]
    used = loads[:, np.any(loads, axis=0)]
    whole_strain, whole_stress, strain, stress = (
        np.tensordot(used, np.stack([getattr(one, name).magnitude for one in unit]), axes=1)
        for name in ("strain", "stress", "ply_strain", "ply_stress"))
    bears = np.array([index != core for index in range(len(fabrics))])
    plies = [ply for ply, one in zip(laminate.plies, bears, strict=True) if one]
    strengths = np.array([design_strengths(catalogue, key, ply) for key, ply in zip(np.array(fabrics)[bears], plies, strict=True)]).T[..., None]
    mats = np.array([catalogue.fabric(key).direction == "random" for key in np.array(fabrics)[bears]])
    if criterion == "max strain":
        moduli = np.array([[ply.si.e1, ply.si.e2, ply.si.g12] for ply in plies])[:, None]
        state = _principal(strain[:, bears], mats, 1 / 2) * moduli
    else:
        state = _principal(stress[:, bears], mats, 1.0)
    ratios, modes = np.full(stress.shape[:-1], np.inf), np.zeros(stress.shape[:-1], dtype=int)
    ratios[:, bears], modes[:, bears] = load_multipliers(criterion, state, np.zeros(3), strengths)
    both_ways = np.array([one and catalogue.fabric(key).direction != "uni" for key, one in zip(fabrics, bears, strict=True)])
    return PlyMargins(laminate, core, fabrics, loads, strain, stress, whole_strain, whole_stress, ratios, modes, both_ways, float(factor))


def moments_together(panel, curvatures, edges="supported"):
    """(Mx, My, Mxy) that make the curvatures lengthwise and crosswise of a SandwichPanel or SolidPanel, then those of a corner's twist.

    At a clamped edge one curvature stands alone: those rows come beside the one of the middle.
    """
    d12, d22, d66 = panel.ratios
    bend_x, bend_y, twist = (float(panel.d11) * curve for curve in curvatures)
    pairs = [(bend_x, bend_y), *([] if edges == "supported" else [(bend_x, 0.0), (0.0, bend_y)])]
    rows = [(x + d12 * y, d12 * x + d22 * y, 0.0) for x, y in pairs]
    return rows + ([(0.0, 0.0, d66 * twist)] if twist else [])


def _principal(state, mats, tensor_shear):
    """Where the ply is a mat, which has no axes of its own, the state along the directions it is pulled most and least in."""
    first, second, shear = np.moveaxis(state, -1, 0)
    radius = np.hypot((first - second) / 2, tensor_shear * shear)
    turned = np.stack([(first + second) / 2 + radius, (first + second) / 2 - radius, np.zeros_like(radius)], axis=-1)
    return np.where(mats[:, None, None], turned, state)


def _cases(moments, in_plane):
    """N and M of every case, (cases, 6): the moments as given and turned about."""
    given = np.atleast_2d(np.asarray(moments, dtype=float))
    beside = np.zeros((1, 3)) if in_plane is None else np.atleast_2d(np.asarray(in_plane, dtype=float))
    if given.ndim != 2 or given.shape[1] not in (2, 3) or beside.shape not in ((1, 3), (len(given), 3)):
        raise RangeError(f"ply_margins: moments have shape {np.shape(moments)} and in_plane {np.shape(in_plane)}, but must be (Mx, My) or "
                         "(Mx, My, Mxy) and (Nx, Ny, Nxy), or rows of them.")
    if not (np.all(np.isfinite(given)) and np.all(np.isfinite(beside)) and (np.any(given) or np.any(beside))):
        raise RangeError("ply_margins: moments and in_plane must be finite and not all nought; give at least one load.")
    full = np.zeros((len(given), 6))
    full[:, :3], full[:, 3:3 + given.shape[1]] = beside, given
    return np.concatenate([full, full * np.array([1, 1, 1, -1, -1, -1])])


def whole_section(build: ZoneBuild) -> tuple[Laminate, int | None, tuple[str, ...]]:
    """Skins and core of a build as one Laminate, the index of its core, and what each layer is made of.

    The core is as stiff in its plane as the panel theory takes it: design value of a foam, next to nothing for balsa, honeycomb,
    plywood. Plane sections are taken for granted; what the core's shear adds is bending of each skin by itself, left out.
    """
    if build.core is None:
        return build.outer, None, build.outer_keys
    modulus = SLACK_IN_PLANE if build.core.family in STIFF_THROUGH_ONLY else design_stiffness(build.core)[0]
    sheet = core_ply.si(build.core, build.core_thickness, modulus)
    angles = np.concatenate([build.outer.angles.magnitude, [0.0], build.inner.angles.magnitude])
    return (Laminate([*build.outer.plies, sheet, *build.inner.plies], Q_(angles, "rad")), len(build.outer.plies),
            (*build.outer_keys, build.core.key, *build.inner_keys))


def design_strengths(catalogue, key, ply) -> tuple[float, float, float, float, float]:
    """Xt, Xc, Yt, Yc and S of a ply to size with [Pa]: design strain times the ply's own modulus.

    Along the fibres, and both ways of a balanced cloth or a mat, the fabric's design strain (catalogue, its own source and grade);
    across the fibres of a unidirectional ply CROSS_FIBRE_STRAIN or the fabric's own if smaller, as for skins (own judgement);
    in shear SHEAR_STRAIN (read for one glass cloth, plies.csv GL-UD-1 of IEA22; for other fibres own judgement). A mat is looked at
    along its principal directions, where there is no shear.
    Raises PartFileError where a cloth has no design strain.
    """
    cloth = catalogue.fabric(key)
    tension, compression = cloth.si.strain_limit_tension, cloth.si.strain_limit_compression
    if tension is None or compression is None:
        raise PartFileError(f'fabric "{key}" has no design strain; fill in strain_limit_tension and strain_limit_compression in your '
                            "own fabrics.csv, from strips you have tested.")
    across = [min(limit, CROSS_FIBRE_STRAIN) if cloth.direction == "uni" else limit for limit in (tension, compression)]
    e1, e2, g12 = ply.si.e1, ply.si.e2, ply.si.g12
    return tension * e1, compression * e1, across[0] * e2, across[1] * e2, SHEAR_STRAIN * g12
