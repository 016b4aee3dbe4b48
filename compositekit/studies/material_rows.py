"""What a part is made of, where each figure comes from and how far to trust it."""

from __future__ import annotations

from dataclasses import dataclass

HOW_FAR = {  # how far a grade may be trusted, in words
    "read": "read in a public source",
    "read second-hand": "read where somebody quotes the source",
    "own calculation": "worked out from figures that were read",
    "from memory": "remembered, not looked up",
    "own judgement": "judged, nothing to look up",
    "mixed": "partly read, partly remembered",
    "shop": "from your own data sheet or test"}
GUESSED = ("from memory", "own judgement", "mixed")
BEHIND_MASS = {"fabric": ("areal_weight", "fibre_fraction"), "core": ("density", "uptake"), "resin": ("density_cured",)}


@dataclass(frozen=True)
class MaterialRow:
    """One material of the part: what it is, its catalogue key, where its figures come from, how far to trust them."""

    kind: str
    key: str
    name: str
    grade: str
    source: str


def material_rows(part, catalogue) -> tuple[MaterialRow, ...]:
    """Each material once, in the order of the part file. Raises UnknownMaterial."""
    rows = []
    for kind, key in dict.fromkeys((kind, key) for _, kind, key in part.materials()):
        record = getattr(catalogue, kind)(key)
        cited = "; ".join(source.citation for source in catalogue.sources_of(record))
        rows.append(MaterialRow(kind, key, record.name, record.grade, cited))
    return tuple(rows)


def guesses(rows) -> tuple[str, ...]:
    """The rows that are remembered or judged, in words; a resin stays on the list until it is the shop's own."""
    own_sheet = {row.key: "; enter your own data sheet first" for row in rows if row.kind == "resin" and row.grade != "shop"}
    return tuple(f"{row.name}: {HOW_FAR[row.grade]}{own_sheet.get(row.key, '')}" for row in rows
                 if row.grade in GUESSED or row.key in own_sheet)


def paths_behind_mass(part) -> tuple[str, ...]:
    """Part and catalogue paths that the mass of a part rests on."""
    used = dict.fromkeys((kind, key) for _, kind, key in part.materials())
    return ("shape", "layup", "resin", "fittings",
            *(f"catalogue.{kind}.{key}.{name}" for kind, key in used for name in BEHIND_MASS[kind]))
