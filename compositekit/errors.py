"""The project's own errors: each text says what is wrong, where, and how to mend it."""


class CompositeKitError(Exception):
    """Base of every error this package raises on purpose."""


class UnitError(CompositeKitError, ValueError):
    """A quantity has no unit, an unknown unit or the wrong dimension."""


class RangeError(CompositeKitError, ValueError):
    """A value is not a number or lies outside what physics or the relation allows."""


class CatalogueError(CompositeKitError, ValueError):
    """A catalogue table or a shop's own rows cannot be used as they stand."""


class UnknownMaterial(CatalogueError, KeyError):
    """A material is named that no catalogue table holds."""

    __str__ = Exception.__str__  # KeyError would show the sentence in quotes


class ShapeError(CompositeKitError, ValueError):
    """An outline, a station list or a mesh does not describe a part."""


class PartFileError(CompositeKitError, ValueError):
    """A part file cannot be read, or does not describe a part."""


class StaleRevision(PartFileError):
    """Somebody else saved the part file since it was read."""
