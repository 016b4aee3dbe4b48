"""The part file: brief, shape, layup, feed plan, trials, decisions and build log of one part.

``open_part()`` gives a ``PartFile`` (where the part lives on disk) holding a ``Part`` (what it says).
"""

from .file import PartFile
from .folders import current_part, demo_parts, open_part, set_current_part
from .model import Part

__all__ = ["Part", "PartFile", "current_part", "demo_parts", "open_part", "set_current_part"]
