"""Stand-in catalogue records for these tests: typical rows of the materials page (own reference digits)."""

from types import SimpleNamespace


def fabric(areal_weight, fibre_fraction, crimp_factor, direction, fibre_modulus=None):
    return SimpleNamespace(name=f"{direction} cloth", direction=direction, si=SimpleNamespace(
        areal_weight=areal_weight, fibre_fraction=fibre_fraction, crimp_factor=crimp_factor,
        fibre_modulus=fibre_modulus))


def _fibre(density, e_axial, e_transverse, g_axial, nu_axial):
    return SimpleNamespace(name="fibre", si=SimpleNamespace(density=density, e_axial=e_axial * 1e9, e_transverse=e_transverse * 1e9,
                                              g_axial=g_axial * 1e9, nu_axial=nu_axial))


def _resin(density_cured, modulus, poisson):
    return SimpleNamespace(name="resin", si=SimpleNamespace(density_cured=density_cured, modulus=modulus * 1e9, poisson=poisson))


FIBRES = {
    "E-glass": _fibre(2560, 72.4, 72.4, 29.7, 0.22), "carbon": _fibre(1770, 230, 15, 15, 0.2),
    "aramid": _fibre(1450, 124, 6.9, 2.9, 0.35), "flax": _fibre(1440, 50, 8, 2.5, 0.35),
}
RESINS = {"epoxy": _resin(1150, 3.1, 0.36), "polyester": _resin(1200, 3.2, 0.37)}
