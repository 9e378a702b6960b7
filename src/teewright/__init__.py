"""Teewright: the workbench for sealing the lateral connections of a lined sewer.

Import the rooms by name (`teewright.network`, `teewright.collar`, ...); this module loads
none of them, so that `import teewright` costs nothing.
"""

__version__ = "0.1.0"
