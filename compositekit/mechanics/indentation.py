"""A small load on one skin: how far it presses in, where the core crushes, and how hard the skin bends there.

The skin is a strip or a plate on springs Ec/c that may also shear, the far side of the core held still (a panel on its
bench, a bulkhead or a keel block underneath). Warning figures: prove a part that people stand on with a test, and defer
to local codes and licensed practice.
"""

from __future__ import annotations

import numpy as np
from scipy.special import k1, kv

from ..units import checked


@checked(load="N >= 0", length="m > 0", width="m > 0", factor="1 > 0", returns="Pa")
def patch_pressure(load, length, width, factor=1.0):
    """Pressure of a load on a patch, taken as what the core below must bear (the skin's spreading not counted).

    load    [N]  load on the patch
    length  [m]  length of the patch
    width   [m]  width of the patch
    factor  [1]  how much more than the resting load counts, e.g. 2 for a load set down at once
    Returns the pressure [Pa]; hold it against the core's compressive strength.
    Raises UnitError, RangeError.
    Relation: p = k W/(u v)
    Source: definition; 2 for a suddenly applied load is elementary dynamics (from memory)
    """
    return factor * load / (length * width)


@checked(length="m > 0", width="m > 0", returns="m")
def equal_radius(length, width):
    """Radius of the round patch as large as a rectangular one.

    length  [m]  length of the patch
    width   [m]  width of the patch
    Returns the radius [m].
    Raises UnitError, RangeError.
    Relation: pi a^2 = u v
    Valid: a square presses as the round one to 1.5 % of depth (own reference); a long strip does not, see indentation_depth
    Source: geometry
    """
    return np.sqrt(length * width / np.pi)


def _roots(bending, shear, spring):
    """m1, m2 of D m^4 - T m^2 + K = 0, complex, and whether they are a conjugate pair; where they would meet they are held a hair apart."""
    half, scale = shear / (2 * bending) + 0j, spring / bending
    apart = half.real**2 - scale
    apart = np.where(np.abs(apart) < 1e-8 * scale, 1e-8 * scale, apart) + 0j
    return np.sqrt(half + np.sqrt(apart)), np.sqrt(half - np.sqrt(apart)), apart.real < 0


def _under(bending, shear, spring, outside):
    """Depth, curvature sum and core pressure under the middle of a unit pressure, outside(m) being what 1 - outside leaves.

    Of D w'''' - T w'' + K w = p each root adds (1 - outside)/m^2 to w and -outside to its Laplacian.
    """
    one, other, pair = _roots(bending, shear, spring)
    scale = 1 / (bending * (other**2 - one**2))
    near = outside(one)
    far = np.where(pair, np.conj(near), outside(np.where(pair, np.abs(other), other)))    # of a pair the second is not worked out
    depth = (scale * ((1 - near) / one**2 - (1 - far) / other**2)).real
    laplacian = (scale * (far - near)).real
    return depth, laplacian, spring * depth - shear * laplacian


def _round(radius):
    def outside(root):
        reach = np.asarray(root * radius)
        real = reach.imag == 0                         # the real function is ten times as fast
        found = np.empty(reach.shape, dtype=complex)
        found[real], found[~real] = k1(reach.real[real]), kv(1, reach[~real])
        return reach * found
    return outside


def _strip(strip_width):
    return lambda root: np.exp(-root * strip_width / 2)


def _patch(radius, skin_thickness, skin_modulus, core_thickness, core_modulus, core_shear_modulus, poisson):
    bending = skin_modulus * skin_thickness**3 / 12 / (1 - poisson**2)
    depth, laplacian, pressure = _under(bending, core_shear_modulus * core_thickness / 3, core_modulus / core_thickness, _round(radius))
    return depth, pressure, -bending * (1 + poisson) / 2 * laplacian * 6 / skin_thickness**2


@checked(load="N >= 0", radius="m > 0", skin_thickness="m > 0", skin_modulus="Pa > 0", core_thickness="m > 0",
         core_modulus="Pa > 0", core_shear_modulus="Pa >= 0", poisson="1 in -0.99..0.99", returns=("m", "Pa", "Pa"))
def patch_indentation(load, radius, skin_thickness, skin_modulus, core_thickness, core_modulus, core_shear_modulus, poisson=0.3):
    """How a round patch (a heel, a knee, a keel block) presses on a sandwich, in its middle.

    load                [N]   load on the patch, spread evenly
    radius              [m]   radius of the patch; of a square one, equal_radius
    skin_thickness      [m]   thickness of the loaded skin
    skin_modulus        [Pa]  its modulus
    core_thickness      [m]   thickness of the core
    core_modulus        [Pa]  modulus of the core through its thickness
    core_shear_modulus  [Pa]  shear modulus of the core; nought gives the plain springs of Hertz and Westergaard
    poisson             [1]   Poisson ratio of the skin
    Returns the depth [m], the pressure on the core under the skin [Pa] and the bending stress in the skin's lower face [Pa].
    Raises UnitError, RangeError.
    Relation: D w'''' - T w'' + K w = p in the round; D = Ef t^3/12(1 - nu^2), K = Ec/c, T = Gc c/3; the core bears K w - T w''
    Valid: own axisymmetric FE, skins 1 and 2 mm on 10 to 50 mm foam, patches 10 to 100 mm across: with shear the core pressure is
           0.98 to 1.9 of FE (on the safe side, most so for small patches on thick cores), the depth 0.85 to 1.4, on 50 mm under a
           thin skin down to 0.67; plain springs give down to 0.45 of the pressure, unsafe. The core's far side is taken as held
    Source: plate on springs, Westergaard 1926 (from memory); springs that shear, Vlasov and Leontiev (from memory)
    """
    depth, pressure, stress = _patch(radius, skin_thickness, skin_modulus, core_thickness, core_modulus, core_shear_modulus, poisson)
    push = load / (np.pi * radius**2)
    return push * depth, push * pressure, push * stress


@checked(core_strength="Pa > 0", radius="m > 0", skin_thickness="m > 0", skin_modulus="Pa > 0", core_thickness="m > 0",
         core_modulus="Pa > 0", core_shear_modulus="Pa >= 0", poisson="1 in -0.99..0.99", returns="N")
def patch_indentation_load(core_strength, radius, skin_thickness, skin_modulus, core_thickness, core_modulus, core_shear_modulus,
                           poisson=0.3):
    """The load on a round patch at which the core below starts to crush.

    core_strength       [Pa]  compressive strength of the core
    radius              [m]   radius of the patch; of a square one, equal_radius
    skin_thickness      [m]   thickness of the loaded skin
    skin_modulus        [Pa]  its modulus
    core_thickness      [m]   thickness of the core
    core_modulus        [Pa]  modulus of the core through its thickness
    core_shear_modulus  [Pa]  shear modulus of the core; nought, plain springs, is unsafe for small patches
    poisson             [1]   Poisson ratio of the skin
    Returns the load [N].
    Raises UnitError, RangeError.
    Relation: P = sigma_c pi a^2/(p core/p patch), as in patch_indentation
    Valid: as patch_indentation: a warning; prove it with a test
    Source: as patch_indentation (from memory, own reference)
    """
    _, pressure, _ = _patch(radius, skin_thickness, skin_modulus, core_thickness, core_modulus, core_shear_modulus, poisson)
    return core_strength * np.pi * radius**2 / pressure


def _line(strip_width, skin_thickness, skin_modulus, core_thickness, core_modulus, core_shear_modulus):
    depth, _, pressure = _under(skin_modulus * skin_thickness**3 / 12, core_shear_modulus * core_thickness / 3, core_modulus / core_thickness,
                                _strip(strip_width))
    return depth, pressure


@checked(load="N >= 0", width="m > 0", strip_width="m > 0", skin_thickness="m > 0", skin_modulus="Pa > 0",
         core_thickness="m > 0", core_modulus="Pa > 0", core_shear_modulus="Pa >= 0", returns="m")
def indentation_depth(load, width, strip_width, skin_thickness, skin_modulus, core_thickness, core_modulus, core_shear_modulus):
    """A warning figure: how far a strip presses the skin into the core, the far side of the core held.

    load                [N]   load on the strip
    width               [m]   length of the strip across the beam
    strip_width         [m]   width of the strip along the beam
    skin_thickness      [m]   thickness of the loaded skin
    skin_modulus        [Pa]  its modulus
    core_thickness      [m]   thickness of the core
    core_modulus        [Pa]  modulus of the core through its thickness
    core_shear_modulus  [Pa]  shear modulus of the core; nought gives the plain springs of the textbook
    Returns the depth [m].
    Raises UnitError, RangeError.
    Relation: D w'''' - T w'' + K w = p; D = Ef t^3/12, K = Ec/c, T = Gc c/3; without T, w = p c/Ec (1 - exp(-x) cos x)
    Valid: a warning, not a pass or fail. A beam between supports squashes about half as far, since its far skin gives way too:
           half the core thickness with the same load comes within 3 % of plane FE (own reference, SW-18)
    Source: beam on elastic foundation, Hetenyi (from memory); springs that shear, Vlasov and Leontiev (from memory)
    """
    depth, _ = _line(strip_width, skin_thickness, skin_modulus, core_thickness, core_modulus, core_shear_modulus)
    return load / (width * strip_width) * depth


@checked(core_strength="Pa > 0", width="m > 0", strip_width="m > 0", skin_thickness="m > 0", skin_modulus="Pa > 0",
         core_thickness="m > 0", core_modulus="Pa > 0", core_shear_modulus="Pa >= 0", returns="N")
def indentation_load(core_strength, width, strip_width, skin_thickness, skin_modulus, core_thickness, core_modulus, core_shear_modulus):
    """A warning figure: the strip load at which the core below starts to crush.

    core_strength       [Pa]  compressive strength of the core
    width               [m]   length of the strip across the beam
    strip_width         [m]   width of the strip along the beam
    skin_thickness      [m]   thickness of the loaded skin
    skin_modulus        [Pa]  its modulus
    core_thickness      [m]   thickness of the core
    core_modulus        [Pa]  modulus of the core through its thickness
    core_shear_modulus  [Pa]  shear modulus of the core; nought, plain springs, credits the skin with too much spreading
    Returns the load [N].
    Raises UnitError, RangeError.
    Relation: P = sigma_c a b/(p core/p strip), p core = K w - T w'' as in indentation_depth
    Valid: a warning; prove it with a test. Own plane FE of a 600 mm beam, 2 mm skins on 12 to 50 mm foam, strips 5 to 60 mm: with
           shear the core pressure is 1.03 to 1.6 of FE, on the safe side; plain springs give down to 0.7 of it, unsafe
    Source: beam on elastic foundation, Hetenyi (from memory); springs that shear, Vlasov and Leontiev (from memory)
    """
    _, pressure = _line(strip_width, skin_thickness, skin_modulus, core_thickness, core_modulus, core_shear_modulus)
    return core_strength * width * strip_width / pressure
