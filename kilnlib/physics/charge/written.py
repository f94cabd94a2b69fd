"""A simulated charge as a person would have it on paper: a sample sheet, which every tool for a real charge reads."""

import datetime

from kilnlib.physics.charge.kiln import Kiln
from kilnlib.physics.samples import Air, SampleBoard, Section, Sheet, Weighing

FIRST_OF_YEAR = datetime.datetime(2025, 1, 1, 7, 0)  # invented mornings at seven
SECTION_KG = 0.06  # of each of two sections, oven-dry


def sample_sheet(kiln: Kiln) -> Sheet:
    """The log of a charge as a sample sheet.

    Parameters
    ----------
    kiln : Kiln.

    Returns
    -------
    samples.Sheet, its boards named by their numbers from 1, in the order in which they are weighed.

    Raises
    ------
    Nothing.

    Source
    ------
    The log itself; sections of 60 g that give the first morning's moisture content, our choice, *computed*.

    Accuracy
    --------
    Moisture contents within 0.1 point of the log's.
    """
    first, loaded = kiln.log[0], FIRST_OF_YEAR + datetime.timedelta(days=kiln.plan.start_day_of_year - 1)
    moments = [loaded + datetime.timedelta(days=one.day) for one in kiln.log]
    boards = []
    for place, number in enumerate(first.samples):
        section = Section(SECTION_KG * (1.0 + first.sample_mc_pct[place] / 100.0), SECTION_KG)
        weighed = tuple(
            Weighing(moment, one.sample_weights_kg[place]) for moment, one in zip(moments, kiln.log, strict=True)
        )
        boards.append(SampleBoard(str(number + 1), (section, section), weighed))
    readings = tuple(
        Air(
            moment,
            one.dry_bulb_c,
            min(one.wet_bulb_c, one.dry_bulb_c),
            one.dry_bulb_leaving_c,
            None,
            one.bucket_kg / 1e3,
        )
        for moment, one in zip(moments, kiln.log, strict=True)
    )
    return Sheet("", kiln.plan.wood, kiln.plan.thickness, kiln.plan.target_pct, tuple(boards), readings)
