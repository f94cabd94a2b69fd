"""Heat on its way to the core of a piece of wood, and whether a record shows that it stayed long enough."""

from kilnlib.physics.heating.face import Face, face, minutes_wet
from kilnlib.physics.heating.material import conductivity_w_mk, heat_diffusivity_m2s, wood_heat_capacity_j_kgk
from kilnlib.physics.heating.series import (
    CORE,
    Piece,
    Probe,
    core_temperature_c,
    face_to_face_m,
    minutes_to_core,
    share_left,
)
from kilnlib.physics.heating.warming import Warming, warming

__all__ = [
    "CORE",
    "Face",
    "Piece",
    "Probe",
    "Warming",
    "conductivity_w_mk",
    "core_temperature_c",
    "face",
    "face_to_face_m",
    "heat_diffusivity_m2s",
    "minutes_to_core",
    "minutes_wet",
    "share_left",
    "warming",
    "wood_heat_capacity_j_kgk",
]
