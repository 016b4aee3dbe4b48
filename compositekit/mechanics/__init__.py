"""Plies, laminates, strength, sandwich beams and rectangular panels."""
