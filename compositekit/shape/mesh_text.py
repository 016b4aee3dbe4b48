"""What the mesh readers do not look at: whether a file was written to its end, and the names of an OBJ file's groups."""

from __future__ import annotations

import struct

from ..errors import ShapeError

HEADER, FACET = 84, 50  # bytes of a binary STL


def refuse_half_written(path):
    """ShapeError for an STL or OBJ file that stops in the middle."""
    kind = path.suffix.lower()
    if kind == ".stl":
        _whole_stl(path.read_bytes())
    elif kind == ".obj":
        _whole_obj(path.read_text("utf-8", errors="replace"))


def _whole_stl(data):
    count = struct.unpack("<I", data[80:HEADER])[0] if len(data) >= HEADER else None
    if count and len(data) == HEADER + FACET * count:
        return
    if data.lstrip()[:5].lower() == b"solid" and b"facet" in data:
        if data.lower().count(b"vertex") != 3 * data.lower().count(b"endfacet") or b"endsolid" not in data[-300:].lower():
            raise ShapeError("the file is half written: its last solid is not closed. Save it again.")
        return
    if count and len(data) > HEADER + FACET * count:
        return
    if count:
        raise ShapeError(f"the file is half written: it promises {count} faces and holds {max(0, len(data) - HEADER) // FACET}. Save it "
                         "again, or it is no STL.")
    raise ShapeError("the file is no STL: it neither starts with the word solid nor holds a count of faces.")


def _whole_obj(text):
    vertices = 0
    for number, line in enumerate(text.splitlines(), 1):
        word, *rest = line.split("#")[0].split() or [""]
        vertices += word == "v"
        if (word in ("v", "f") and len(rest) < 3) or "\0" in line:
            raise ShapeError(f'line {number} is half written or no OBJ ("{line.strip()[:40]}"). Save the file again.')
        if word == "f" and any(corner.startswith("-") for corner in rest):
            raise ShapeError(f"line {number} counts nodes backwards, which is not read; save the file with plain numbers.")
    if not vertices:
        raise ShapeError("the file is no OBJ: it holds no nodes.")


def group_names(path):
    """Name of each group of an OBJ file by its number in the file."""
    lines = (line.split() for line in path.read_text("utf-8", errors="replace").splitlines())
    names = [" ".join(words[1:]) or "part" for words in lines if words and words[0] == "g"]
    return dict(enumerate(names)) | {-1: "part"}
