"""Heat on its way to the core of a piece of wood, and whether a record shows that it stayed long enough."""

from kilnlib.physics.heating.face import Face, face, minutes_wet
from kilnlib.physics.heating.hold import Channel, Hold, Remark, Trace, unbroken_hold
from kilnlib.physics.heating.material import conductivity_w_mk, heat_diffusivity_m2s, wood_heat_capacity_j_kgk
from kilnlib.physics.heating.rules import heat_rules
from kilnlib.physics.heating.series import (
    CORE,
    Piece,
    Probe,
    core_temperature_c,
    face_to_face_m,
    minutes_to_core,
    share_left,
)
from kilnlib.physics.heating.squares import Printed, pine_square_minutes
from kilnlib.physics.heating.warming import Warming, warming

__all__ = [
    "CORE",
    "Channel",
    "Face",
    "Hold",
    "Piece",
    "Printed",
    "Probe",
    "Remark",
    "Trace",
    "Warming",
    "conductivity_w_mk",
    "core_temperature_c",
    "face",
    "face_to_face_m",
    "heat_diffusivity_m2s",
    "heat_rules",
    "minutes_to_core",
    "minutes_wet",
    "pine_square_minutes",
    "share_left",
    "unbroken_hold",
    "warming",
    "wood_heat_capacity_j_kgk",
]
