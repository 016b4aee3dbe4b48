"""What a laminate answers with: its constants as one sheet, and its response to a load."""

from __future__ import annotations

from typing import NamedTuple

import pint

from ..units import Q_


class ElasticConstants(NamedTuple):
    """Moduli [Pa] and major Poisson ratio [1] of a laminate taken as one sheet."""

    ex: pint.Quantity
    ey: pint.Quantity
    gxy: pint.Quantity
    nuxy: pint.Quantity

    @property
    def nuyx(self):
        """Minor Poisson ratio [1]: nuxy Ey/Ex."""
        return self.nuxy * self.ey / self.ex


class MutualInfluence(NamedTuple):
    """How a pull shears a sheet and a shear stretches it [1]; all nought for a balanced stack pulled in its plane.

    eta_xy_x, eta_xy_y  shear strain per strain along x, or y, under that pull alone
    eta_x_xy, eta_y_xy  strain along x, or y, per shear strain under shear alone
    """

    eta_xy_x: pint.Quantity
    eta_xy_y: pint.Quantity
    eta_x_xy: pint.Quantity
    eta_y_xy: pint.Quantity


class Response(NamedTuple):
    """Strain and stress under a load; ply arrays have shape (plies, 2 faces, 3), outer face first.

    ``strain`` and ``stress`` are in x, y, xy; ``ply_strain`` and ``ply_stress`` in each ply's own 1, 2, 12.
    ``ply_strain`` is the whole strain, free expansion included.
    """

    midplane_strain: pint.Quantity
    curvature: pint.Quantity
    strain: pint.Quantity
    stress: pint.Quantity
    ply_strain: pint.Quantity
    ply_stress: pint.Quantity


def elastic_constants(compliance):
    """ElasticConstants of a sheet whose strain is ``compliance`` (3, 3) times its mean stress, 1/Pa."""
    s = compliance
    return ElasticConstants(Q_(1 / s[0, 0], "Pa"), Q_(1 / s[1, 1], "Pa"), Q_(1 / s[2, 2], "Pa"),
                            Q_(-s[0, 1] / s[0, 0], ""))


def mutual_influence(s):
    """MutualInfluence of a sheet with compliance ``s`` (3, 3), in any unit."""
    return MutualInfluence(*(Q_(s[i, 2] / s[k, k], "") for i, k in ((0, 0), (1, 1), (0, 2), (1, 2))))
