"""Shapes of parts: flat outlines, singly curved shells, hulls from stations, and their surfaces as triangles."""

from .curved import CurvedShape
from .flat import FlatShape
from .mesh import TriangleMesh
from .mesh_files import read_mesh
from .mesh_shape import MeshShape
from .meshing import surface_mesh
from .stations import HullShape
from .zone import Zone

__all__ = ["CurvedShape", "FlatShape", "HullShape", "MeshShape", "TriangleMesh", "Zone", "read_mesh", "surface_mesh"]
