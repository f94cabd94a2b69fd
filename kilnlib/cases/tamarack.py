"""Tamarack Ford, the invented mill of the lessons: its kiln, its air, and its charges, which lie beside this file."""

from pathlib import Path

from kilnlib.physics import air
from kilnlib.store.kiln import ThisKiln
from kilnlib.units import f_to_c

KILN = ThisKiln()  # what a form that nobody has filled in describes
PRESSURE_PA = air.pressure_pa(KILN.altitude_m)
MILL_C, MILL_DEPRESSION_C = f_to_c(70.0), 1.5 / 1.8  # dry bulb and depression of the mill's air
CHARGES = Path(__file__).parent  # the folder of the sample sheets, red_oak_4_4.csv and yellow_poplar_4_4.csv
