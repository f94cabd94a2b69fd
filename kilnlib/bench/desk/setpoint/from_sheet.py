"""What the sample sheet used last says, for the boxes of the setpoint check."""

from kilnlib import units
from kilnlib.bench.desk.sheet.files import last_sheet
from kilnlib.errors import BadInput
from kilnlib.physics.daily import share_now_pct


def from_sheet(system):
    """(name of the charge, {box: text}, share of the limit that the fastest board used [%]). Raises with a sentence.

    Bulbs come only where the sheet has any.
    The sheet is read, not opened: it may be open in its own tool.
    """
    path, sheet = last_sheet()
    days = [day for day in sheet.days if day.mcs_pct]
    if not days:
        raise BadInput("no_weights_yet")
    texts = {
        "species": sheet.species,
        "thickness": sheet.thickness,
        "mc": f"{days[-1].controlling_pct:.1f}",
        "target": "" if sheet.target_pct is None else f"{sheet.target_pct:g}",
    }
    if sheet.air:
        reading = sheet.air[-1]
        for box, bulb_c in (("dry", reading.dry_bulb_c), ("wet", reading.wet_bulb_c)):
            number = units.from_si(bulb_c, "temperature", system)
            texts[box] = f"{number:.1f}".removesuffix(".0")
    return sheet.charge or path.stem, texts, share_now_pct(sheet)
