"""Bathybore plans, judges and documents a deep hole in the sea floor.

The package is layered: base, kernels, data, model, operations, checks, usecases,
reports and drawings, cli. A module imports only from layers before its own; a
test enforces it.
"""

__version__ = "0.1.0"
