"""Every message an operator may meet, as a sentence to act on.

`SENTENCES` holds them all under short codes, so that a translation replaces one dictionary. Physics raises
`OutOfRange` with SI values; `sentence(system)` writes the same message in trade or metric units.
"""

SENTENCES = {
    "not_finite": "{what} must be an ordinary number. Type the value you read, such as {example}.",
    "range": "{what} {value} is outside {low} to {high}. Check the reading, and the unit it was read in.",
    "wet_above_dry": "Wet bulb {wet} is above dry bulb {dry}. Check the wick and the water, and swap the two readings if "
    "they were entered the wrong way round.",
    "wet_too_low": "Dry bulb {dry} with wet bulb {wet} cannot happen: even bone-dry air would hold the wet bulb at about "
    "{lowest}. Check both readings.",
    "boiling": "At an air pressure of {pressure}, water vapor at {value} would push harder than the air itself: water "
    "boils near {boils} at this altitude. Lower the temperature.",
    "humidity": "Relative humidity {value} is outside 0 % to 100 %. Type a percent, such as 65.",
    "emc_too_high": "Even saturated air at {temperature} only brings wood to {highest}. Ask for less than {value}.",
    "emc_negative": "EMC {value} is below zero. Type a percent, such as 8.",
    "empty": "Nothing was typed. Type a number, such as {example}.",
    "not_a_number": "“{text}” is not a number this box can read. Type something like {example}.",
    "decimal_comma": "“{text}” could be {a} or {b}. Write the decimal with a point: {a}.",
    "is_this_celsius": "{typed} is outside {low} to {high}. Is this Celsius? Then type {suggestion} "
    "(that is {converted}).",
    "is_this_fahrenheit": "{typed} is outside {low} to {high}. Is this Fahrenheit? Then type {suggestion} "
    "(that is {converted}).",
    "wrong_unit": "“{text}” carries the unit {unit}, which does not fit here. Use {expected}.",
    "unknown_table": "There is no table called {name}. The tables are: {names}.",
    "unknown_question": "There is no question called {name}. Check the name in kilnlib/questions.",
    "unknown_panel": "There is no panel called {name}. The panels are: {names}.",
    "kiln_file": "{path} could not be read at the line “{line}”. The last good values are kept; fix that line or save the "
    "form again.",
    "cannot_save": "{path} could not be written ({reason}). Nothing was lost: the values are still on this screen. Check "
    "the folder and its rights.",
    "handbook_out": "{count} of {total} rows are further from the published value than allowed. See the rows marked OUT.",
    "inside": "Something went wrong inside this panel. The picture still shows the last good result. Press Reset; if it "
    "happens again, tell your trainer what you had set.",
}


class KilnError(Exception):
    """Base of every error with a code and a sentence; `fields` are text, or (SI value, kind) pairs."""

    def __init__(self, code, **fields):
        self.code = code
        self.fields = fields
        super().__init__(self.sentence("both"))

    def sentence(self, system="trade", sentences=SENTENCES):
        """The message in one unit system ("trade", "metric", or "both")."""
        from kilnlib import units  # units reads what people type, so it needs these errors

        shown = {
            name: units.show(*field, system=system) if isinstance(field, tuple) else field
            for name, field in self.fields.items()
        }
        return sentences[self.code].format(**shown)


class OutOfRange(KilnError, ValueError):
    """A value that physics cannot answer for; carries name, value and limits (SI)."""

    def __init__(self, code, name, value, low=None, high=None, /, **fields):
        self.name, self.value, self.low, self.high = name, value, low, high
        super().__init__(code, **fields)


class BadInput(KilnError, ValueError):
    """Something typed that cannot be read as a value."""


class NotFound(KilnError, LookupError):
    """A table, question or panel that does not exist."""


class HandbookMismatch(KilnError, AssertionError):
    """A number that left the published value by more than the allowed difference."""


class CannotSave(KilnError, OSError):
    """A file of the user's that could not be read or written."""
