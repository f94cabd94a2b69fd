"""The words of the trade: what each means in one sentence, the lesson that teaches it, what else people call it, and
other forms of the word.

A translation replaces word, sentence and other names; the lesson stays.
"""

from typing import NamedTuple


class Word(NamedTuple):
    """A word, the lesson that teaches it ("02"), one whole sentence, other names for the same thing, other forms."""

    word: str
    lesson: str
    says: str
    also: tuple = ()
    forms: tuple = ()

    @property
    def names(self):
        """All that it is found by."""
        return (self.word, *self.also, *self.forms)


WORDS = (
    Word("baffle", "05", "A baffle is a plate or curtain that closes a gap, so that the air has to go through the wood.", (), ("baffles",)),
    Word("board foot", "01", "A board foot is a board one foot long, one foot wide and one inch thick, by the name of its size and not by the ruler.", (), ("board feet",)),
    Word("bolster", "05", "A bolster is the thick support between two bundles, and it belongs straight above a line of stickers.", ("bunk",)),
    Word("bone dry", "01", "Wood is bone dry when an oven a little above boiling takes no more weight out of it.", ("oven-dry",)),
    Word("bound water", "01", "Bound water is held inside the cell walls, and a board shrinks only while it leaves."),
    Word("bow", "10", "A board has bow when it curves along its length like a sled runner laid flat."),
    Word("casehardening", "10", "Casehardening is stress that stays in a board after drying, and it has nothing to do with a hard skin."),
    Word("change point", "07", "A change point is the moisture content at which the schedule moves you to its next step."),
    Word("charge", "04", "A charge is all the lumber that goes through the kiln in one run.", ("load",)),
    Word("coil", "00", "In a dehumidification kiln the cold coil takes water out of the air, and the machine gives the heat back to the kiln.", ("evaporator",)),
    Word("collapse", "10", "Collapse is wood whose cells were crushed while they were full of water, so that the face looks like a washboard."),
    Word("compressor", "09", "The compressor is the pump of the machine: it makes one coil cold and the other warm, and it follows the wet bulb."),
    Word("condenser", "09", "The condenser is the warm coil, which gives back to the kiln what the cold coil took."),
    Word("conditioning", "11", "Conditioning is a short, humid, hot stage at the end that takes the stress out of the boards.", ("stress relief",), ("condition",)),
    Word("core", "10", "The core is the inner part of a board, which dries last.", ("middle",)),
    Word("course", "00", "A course is one layer of boards in the stack.", ("layer", "row"), ("courses",)),
    Word("crook", "10", "A board has crook when its edge curves, so that it will not lie straight along a fence."),
    Word("cup", "10", "A board is cupped when its face is hollow across its width."),
    Word("depression", "02", "The depression is the dry bulb minus the wet bulb, and the wider it is, the thirstier the air.", ("wet-bulb depression",)),
    Word("dew point", "02", "The dew point is the temperature to which this air must cool before water drips out of it."),
    Word("diamond", "10", "A square stick has diamonded when it dried to the shape of a diamond, because wood shrinks more along the rings than across them."),
    Word("dry bulb", "00", "The dry bulb is the ordinary temperature of the air."),
    Word("drying rate", "06", "The drying rate is how many points of moisture content the wood loses in a day.", ("points a day", "percent a day")),
    Word("EMC", "03", "The EMC is the moisture content at which a thin chip would stop if it hung in this air long enough.", ("equilibrium moisture content",)),
    Word("end check", "10", "An end check is a crack in the end of a board that runs outward from the heart.", ("end split",), ("end checks",)),
    Word("entering air", "02", "The entering air is the air that is about to go into the stack, and the schedule means its temperature and no other.", ("entering-air side",)),
    Word("equalizing", "11", "Equalizing holds the driest boards where they are until the wettest have caught up.", (), ("equalize",)),
    Word("false ceiling", "00", "The false ceiling is the deck under the fans that makes the air go down one side and through the stack."),
    Word("fiber saturation", "01", "Fiber saturation is the point, near 30 percent, where the hollows are empty and the walls are still full.", ("fiber saturation point", "FSP")),
    Word("flatsawn", "01", "A flatsawn board has its growth rings running along the wide face.", ("plainsawn",)),
    Word("fpm", "05", "Air velocity is given in feet a minute, written fpm, and it counts between the stickers.", ("feet a minute", "air velocity")),
    Word("free water", "01", "Free water lies in the hollows of the cells, and a board does not shrink while it leaves."),
    Word("green", "01", "Green wood has never been dried."),
    Word("heartwood", "04", "Heartwood is the inner wood of the trunk, and it gives up its water more slowly."),
    Word("heat-treated", "12", "Heat-treated lumber was at 133 °F in its coldest core for 30 minutes without a break, and a record shows it: kiln dried does not prove it.", ("HT", "heat treatment"), ("heat treated",)),
    Word("high limit", "09", "The high limit is a switch with a bulb of its own that stops the heat when all else has failed, until a hand resets it."),
    Word("honeycomb", "10", "Honeycomb is cracks inside a board that nobody sees until it is sawn or planed."),
    Word("humidistat", "13", "A humidistat turns heat on by relative humidity and not by temperature: near 37 percent it keeps lumber at 7 percent."),
    Word("kiln", "00", "A kiln is a closed room in which heat, humidity and moving air are under control."),
    Word("ladder", "07", "The ladder is our picture of a schedule, with one rung for each step.", (), ("rungs",)),
    Word("leaving air", "02", "The leaving air has crossed the stack, so it is cooler and damper than it was when it went in.", ("leaving-air side",)),
    Word("locked out", "00", "A kiln is locked out when every energy that feeds it is off, locked by you, and tried.", (), ("lock-out", "lockout")),
    Word("moisture content", "01", "Moisture content is the weight of the water as a percent of the weight of the bone-dry wood.", ("MC",)),
    Word("oven-dry weight", "04", "The calculated oven-dry weight is what a sample board would weigh with all its water gone, worked out because nobody can put the whole board in the oven."),
    Word("overhang", "05", "The overhang is what sticks out past the last sticker, and it bends if it is long.", ("end overhang",)),
    Word("pin meter", "01", "A pin meter reads moisture content from how easily electricity passes between two pins in the wood.", ("moisture meter",)),
    Word("plenum", "00", "The plenum is the space beside the stack where the air turns and spreads before it goes in.", (), ("plenums",)),
    Word("pocket", "04", "A pocket is the hole left in the stack so that a sample board slides in and out.", ("sample pocket",)),
    Word("prong test", "11", "The prong test is a slice cut to two legs, which bend if there is stress in the board.", ("prongs", "fork test")),
    Word("quartersawn", "01", "A quartersawn board has its growth rings standing across the wide face.", ("vertical grain",)),
    Word("recut", "04", "A recut is new sections from a sample board partway through, to put its oven-dry weight right.", ("intermediate test",)),
    Word("relative humidity", "02", "Relative humidity is the water in the air as a percent of the most that this air could hold.", ("RH",)),
    Word("sample board", "04", "A sample board is a short piece that is weighed every day and speaks for the boards around it.", ("kiln sample",), ("sample boards",)),
    Word("sapwood", "01", "Sapwood is the outer wood of the trunk, and it is often the wettest."),
    Word("schedule", "07", "A schedule is the published plan of settings for a wood, step by step as it dries.", ("drying schedule",)),
    Word("section", "04", "A section is a one-inch slice across the board that is weighed, dried in the oven and weighed again.", ("moisture section", "wafer")),
    Word("setpoint", "00", "A setpoint is what you tell the control to hold.", ("setting",)),
    Word("shed", "13", "A shed without heat has the air of outdoors, so dry lumber in it climbs toward 11 to 15 percent.", ("storage", "unheated shed")),
    Word("shell", "06", "The shell is the outer part of a board, which dries first."),
    Word("shrinkage", "01", "Shrinkage is the loss of size below fiber saturation, as a percent of the green size."),
    Word("specific gravity", "01", "The specific gravity of a wood is how heavy its dry wood is beside the same room of water, with the room measured green.", ("basic specific gravity",)),
    Word("sticker", "00", "A sticker is a thin dry stick that holds two courses apart so that air can pass.", (), ("stickers",)),
    Word("stress", "10", "Stress is the push and pull inside a board, when one part wants to shrink and another does not let it."),
    Word("strips", "09", "The strips are electric heaters, and they follow the dry bulb."),
    Word("surface check", "10", "A surface check is a crack along the grain of the face, from a skin that dried too fast.", ("face check",), ("surface checks",)),
    Word("sweating", "13", "Sweating is water that settles on boards colder than the dew point of the air around them.", (), ("sweat",)),
    Word("temperature drop", "05", "The temperature drop is how much the air cools on its way through the stack.", ("temperature drop across the load", "TDAL")),
    Word("tension", "10", "A part of a board is in tension when it is stretched, and wood that is stretched too hard tears."),
    Word("top weight", "05", "Top weight is a load on the stack that keeps the upper courses flat.", ("top load",)),
    Word("twist", "10", "A board has twist when one corner lifts off the bench while the other three lie on it."),
    Word("vent", "00", "A vent is an opening that lets heat and damp air out of the kiln.", (), ("vents",)),
    Word("wet bulb", "00", "The wet bulb is the temperature that a sensor shows in moving air with a wet wick on it."),
    Word("wettest half", "04", "The wettest half of the sample boards decides when the settings change, because the average hides the boards that can still check.", ("controlling samples",)),
    Word("wick", "02", "The wick is the wet sleeve on the wet bulb, and when it is dry or crusted the reading is too high."),
)  # fmt: skip
