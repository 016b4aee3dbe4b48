"""Resin, flow, feed lines, vacuum, budget and cure of a vacuum infused part."""
