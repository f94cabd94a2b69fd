"""Small parts of the workshop's screens: a line that is read aloud, whole sentences, a box, days to the half."""

import html

from kilnlib.words import text


def line(look, words):
    """A line that is read aloud when it changes."""
    return f'<div class="{look}" role="status" aria-live="polite">{html.escape(words)}</div>'


def page(look, *lines):
    """Whole sentences in place of a picture."""
    said = "".join(f"<p>{html.escape(words)}</p>" for words in lines)
    return f'<div class="fc-{look}">{said}</div>'


def box(kind, look, *inside):
    """A box of widgets under a look."""
    made = kind(list(inside))
    made.add_class(look)
    return made


def halves(number):
    """A number to the next half, such as 12½."""
    whole, half = divmod(round(2 * number), 2)
    return f"{whole or ''}½" if half else f"{whole}"


def days(number):
    """Half days in words: a difference of the model is no better than that."""
    if round(2 * number) in (1, 2):
        return text("present.half_day" if round(2 * number) == 1 else "present.one_day")
    return text("present.some_days", number=halves(number))
