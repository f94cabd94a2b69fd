"""Every message is a sentence to act on, in either unit system."""

import re
import string
from pathlib import Path

import pytest

from kilnlib import errors, units
from kilnlib.errors import sentence
from kilnlib.words import TEXT
from kilnlib.words.error import SENTENCES

FORBIDDEN = re.compile(
    r"\b(simply|just|obviously|certified|compliant|safe to enter|error|exception|invalid|null|nan)\b", re.I
)


def fields_of(words):
    return {name for _, name, _, _ in string.Formatter().parse(words) if name}


@pytest.mark.parametrize("code", SENTENCES)
def test_sentences_are_sentences(code):
    words = SENTENCES[code]
    fields = dict.fromkeys(fields_of(words), "X")
    shown = words.format(**fields)
    assert shown[0].isupper() or shown[0] in "“"
    assert shown.endswith((".", "?", "…")) or words.endswith("}")  # a field at the end is a sentence of its own
    assert not FORBIDDEN.search(shown)
    assert len(shown) < 300
    assert sentence(errors.KilnError(code, **fields)) == shown


def test_every_code_raised_has_its_sentence_and_is_raised_somewhere():
    files = [path for path in Path(errors.__file__).parent.rglob("*.py") if path.name != "error.py"]
    text = "\n".join(path.read_text(encoding="utf-8") for path in files)
    unused = {code for code in SENTENCES if f'"{code}"' not in text and f"error.{code}" not in text}
    assert not unused


def test_one_error_in_three_ways():
    error = errors.OutOfRange("range", "dry_bulb_c", 150.0, 0.0, 120.0, what="Dry bulb", value=(150.0, "temperature"),
                              low=(0.0, "temperature"), high=(120.0, "temperature"))  # fmt: skip
    assert error.sentence("trade").startswith("Dry bulb 302 °F is outside 32 °F to 248 °F.")
    assert error.sentence("metric").startswith("Dry bulb 150.0 °C is outside 0.0 °C to 120.0 °C.")
    assert str(error).startswith("Dry bulb 302 °F (150.0 °C) is outside 32 °F (0.0 °C) to")
    assert (error.name, error.value, error.low, error.high) == ("dry_bulb_c", 150.0, 0.0, 120.0)
    assert error.code == "range"


def test_two_readings_never_look_alike():
    """110.3 above 110.1 °F must not read "110 °F is above 110 °F"."""
    wet, dry = units.f_to_c(110.3), units.f_to_c(110.1)
    error = errors.OutOfRange("wet_above_dry", "wet_bulb_c", wet, wet=(wet, "temperature"), dry=(dry, "temperature"))
    assert "Wet bulb 110.3 °F is above dry bulb 110.1 °F" in error.sentence("trade")
    assert "Wet bulb 43.5 °C is above dry bulb 43.4 °C" in error.sentence("metric")


def test_a_translation_is_the_folder_of_words(monkeypatch):
    monkeypatch.setitem(TEXT, "error.empty", "Nichts eingegeben, etwa {example}.")
    assert errors.BadInput("empty", example="110").sentence() == "Nichts eingegeben, etwa 110."


@pytest.mark.parametrize(
    ("kind", "builtin"),
    [
        (errors.OutOfRange, ValueError),
        (errors.BadInput, ValueError),
        (errors.NotFound, LookupError),
        (errors.HandbookMismatch, AssertionError),
        (errors.CannotSave, OSError),
    ],
)
def test_families(kind, builtin):
    assert issubclass(kind, errors.KilnError) and issubclass(kind, builtin)


def test_any_other_error_gets_the_common_sentence():
    assert sentence(ZeroDivisionError("1/0")) == SENTENCES["inside"]
