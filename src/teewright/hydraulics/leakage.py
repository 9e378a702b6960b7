"""Leakage of a sewer as the trade states it, to and from SI.

The factors follow from the definitions of the units (1 US gallon = 231 cubic inches, 1 mile =
1609.344 m, 1 inch = 25.4 mm, all exact; NIST SP 811, app. B.8).
"""

from teewright.units import INCH, LITRE, US_GALLON

MILE = 1609.344
"""International mile [m]."""
DAY = 86400.0
"""Day [s]."""
KM = 1000.0
"""Kilometre [m]."""
MM = 1e-3
"""Millimetre [m]."""
GALLON_PER_DAY_MILE = US_GALLON / DAY / MILE
"""1 US gallon a day and mile of sewer [m3/(s m)]."""
GALLON_PER_DAY_INCH_MILE = GALLON_PER_DAY_MILE / INCH
"""1 US gallon a day, inch of diameter and mile of sewer [m3/(s m m)]."""
LITRE_PER_SECOND_KM = LITRE / KM
"""1 litre a second and kilometre of sewer [m3/(s m)]."""
LITRE_PER_DAY_MM_KM = LITRE / DAY / MM / KM
"""1 litre a day, millimetre of diameter and kilometre of sewer [m3/(s m m)]."""
