"""Shapes of parts: flat outlines, singly curved shells, hulls from stations, and their surfaces as triangles."""

from .curved import CurvedShape
from .flat import FlatShape
from .mesh import TriangleMesh
from .meshing import surface_mesh
from .stations import HullShape
from .zone import Zone

__all__ = ["CurvedShape", "FlatShape", "HullShape", "TriangleMesh", "Zone", "surface_mesh"]
