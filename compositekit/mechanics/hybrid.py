"""Two fibres in one cloth, taken as one fibre for the ply estimate."""

from __future__ import annotations

from ..catalogue.records import Fibre
from ..units import checked
from .mixture import fibre_fraction_from_weight, inverse_rule_of_mixtures, rule_of_mixtures

_ALONG = ("density", "e_axial", "nu_axial")       # both fibres stretch alike: mixed by volume
_ACROSS = ("e_transverse", "g_axial")             # both carry the same stress: mixed by volume, upside down


@checked(weight_share="1 in 0..1", returns=None)
def hybrid_fibre(fibre, other_fibre, weight_share):
    """The fibre that stands for two laid side by side in one cloth, for ply_from_fabric and ply_range.

    fibre         catalogue record of the first fibre
    other_fibre   catalogue record of the second
    weight_share  [1]  share of the cloth's fibre weight that is the first
    Returns a Fibre with the range of both carried along (low with low, high with high). It has no strength: the
    stiffer fibre breaks first and what the other then holds wants a test. Its failure strain is the smaller one.
    Raises UnitError, RangeError.
    Relation: with v the first fibre's share by volume: density, E axial, nu by v P1 + (1 - v) P2; E across and G by
              1/P = v/P1 + (1 - v)/P2; expansion along by v E1 a1 + (1 - v) E2 a2 over E, across by volume;
              moisture by weight
    Valid: exact along the fibres (equal strain); across, the lower bound
    Source: rule of mixtures, Kaw, Mechanics of Composite Materials, ch. 3 (from memory); its use here own judgement
    """
    ends = [_mixed(_figures(fibre, end), _figures(other_fibre, end), weight_share) for end in range(3)]
    low, typical, high = ends
    spread = {name: (low[name], high[name]) for name, value in typical.items() if value is not None}
    title = f"{fibre.name} {100 * weight_share:.3g} % and {other_fibre.name} by weight"
    return Fibre.from_si(key=f"{fibre.key}+{other_fibre.key}", title=title, family="hybrid", spread=spread,
                         hygroscopic=fibre.hygroscopic or other_fibre.hygroscopic, grade="own calculation",
                         source=" + ".join(dict.fromkeys((fibre.source, other_fibre.source))), **typical)


def _figures(fibre, end):
    values = {name: fibre.range(name)[end] for name in Fibre.specs}
    return {name: None if value is None else value.magnitude for name, value in values.items()}


def _mixed(one, other, weight_share):
    share = fibre_fraction_from_weight.si(weight_share, one["density"], other["density"])

    def both(name):
        return one[name] is not None and other[name] is not None

    mixed = dict.fromkeys(Fibre.specs)
    mixed |= {name: rule_of_mixtures.si(one[name], other[name], share) for name in _ALONG if both(name)}
    mixed |= {name: inverse_rule_of_mixtures.si(one[name], other[name], share) for name in _ACROSS if both(name)}
    if both("cte_axial"):
        pull = rule_of_mixtures.si(one["e_axial"] * one["cte_axial"], other["e_axial"] * other["cte_axial"], share)
        mixed["cte_axial"] = pull / mixed["e_axial"]
    if both("cte_transverse"):
        mixed["cte_transverse"] = rule_of_mixtures.si(one["cte_transverse"], other["cte_transverse"], share)
    if both("moisture"):
        mixed["moisture"] = rule_of_mixtures.si(one["moisture"], other["moisture"], weight_share)
    if both("failure_strain"):
        mixed["failure_strain"] = min(one["failure_strain"], other["failure_strain"])
    return mixed
