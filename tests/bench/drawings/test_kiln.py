"""The still drawing of a kiln: its fans turn and its air moves, and nothing does for whoever asked for no motion."""

import json
import re
import xml.etree.ElementTree as ET
from pathlib import Path

BOOKS = Path(__file__).parents[3] / "workbooks"
SVG = "{http://www.w3.org/2000/svg}"
DRAWING = ET.parse(BOOKS / "img" / "kiln_cross_section.svg").getroot()
STYLE = "".join(one.text for one in DRAWING.iter(f"{SVG}style"))


def of(name):
    """The elements of a class."""
    return [one for one in DRAWING.iter() if name in one.get("class", "").split()]


def test_fans_turn_and_air_moves_and_both_stand_still_for_whoever_asks():
    frames = set(re.findall(r"@keyframes (\w+)", STYLE))
    still = re.search(r"prefers-reduced-motion: reduce\)\s*\{(.*?)\{animation:none\}\}", STYLE)[1]
    for name in ("fan", "coil-fan", "flow", "damp"):
        assert of(name), name
        moves = re.search(rf"\.{name}\{{[^}}]*animation:(\w+) [^}}]*infinite", STYLE)
        assert moves and moves[1] in frames and f".{name}" in still.split(",")


def test_air_moves_on_every_way_that_is_drawn():
    moving = {one.get("d") for one in [*of("flow"), *of("damp")]}
    drawn = {one.get("d") for one in of("air")}
    through = {one.get("d") for one in DRAWING.iter(f"{SVG}path") if one.get("stroke") == "url(#g)"}
    assert len(through) == 8 and drawn | through == moving


def test_the_numbers_of_the_drawing_are_those_of_its_list_and_its_words_can_be_read_beside_it():
    cells = json.loads((BOOKS / "00_start_here.ipynb").read_text(encoding="utf-8"))["cells"]
    words = "".join(next(cell["source"] for cell in cells if cell["id"] == "the-kiln"))
    listed = dict(re.findall(r"^(\d)\. (.*)$", words, re.M))
    numbered = [
        re.match(r"(\d) (.*)", one.text).groups() for one in DRAWING.iter(f"{SVG}text") if one.text[0].isdigit()
    ]
    assert {number for number, _ in numbered} == set(listed)
    for number, name in numbered:
        assert name.lower().rstrip("s") in listed[number].lower().replace("two bulbs", "dry bulb wet bulb"), name
    beside = 646 / float(DRAWING.get("viewBox").split()[2])  # its width beside the list, see style.css
    assert float(DRAWING.get("font-size")) * beside >= 12.0
