"""Flotation: water, hydrostatics, small-angle stability and the swamped boat. Never an approval."""

from .capacity import persons_capacity, persons_from_persons_load, persons_load_from_heeling
from .density import (
    net_lift,
    sandwich_bulk_density,
    seawater_density,
    specific_gravity_from_factor,
    water_density,
    weight_in_water_factor,
)
from .hydrostatics import Hydrostatics, draught_for, freeboard, hydrostatics
from .ordinates import mass_per_immersion, open_boat_volume, volume_from_areas, waterplane_from_half_breadths
from .stability import (
    list_from_shift,
    metacentric_height,
    righting_lever_for_new_centre,
    righting_lever_wall_sided,
    wall_sided_limit,
)
from .swamped import (
    CAUTION,
    CLINGING_LOAD,
    CLINGING_SHARE,
    PERSON_MASS,
    SITTING_SHARE,
    Item,
    SwampedFlotation,
    buoyancy_volume,
    swamped_flotation,
    weight_in_water,
)

__all__ = [
    "CAUTION", "CLINGING_LOAD", "CLINGING_SHARE", "PERSON_MASS", "SITTING_SHARE",
    "Hydrostatics", "Item", "SwampedFlotation",
    "buoyancy_volume", "draught_for", "freeboard", "hydrostatics", "list_from_shift", "mass_per_immersion",
    "metacentric_height", "net_lift", "open_boat_volume", "persons_capacity", "persons_from_persons_load",
    "persons_load_from_heeling", "righting_lever_for_new_centre", "righting_lever_wall_sided",
    "sandwich_bulk_density", "seawater_density", "specific_gravity_from_factor", "swamped_flotation",
    "volume_from_areas", "wall_sided_limit", "water_density", "waterplane_from_half_breadths",
    "weight_in_water", "weight_in_water_factor",
]
