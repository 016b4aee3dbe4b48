"""Shapes of parts: flat outlines, singly curved shells and hulls from stations."""

from .curved import CurvedShape
from .flat import FlatShape
from .stations import HullShape
from .zone import Zone

__all__ = ["CurvedShape", "FlatShape", "HullShape", "Zone"]
