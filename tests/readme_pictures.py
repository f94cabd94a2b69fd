"""README's two pictures, made anew from the panels: `python tests/readme_pictures.py`."""

import base64
import re
from dataclasses import dataclass
from pathlib import Path

from kilnlib.bench.panels import open_panel

ROOT = Path(__file__).parent.parent
FOLDER = ROOT / "pictures"
PANELS = {"stack": "05_through_the_stack", "board": "06_how_a_board_dries"}  # and the lesson that opens it


@dataclass(frozen=True)
class Picture:
    """What a panel shows as it opens: the file's name, its bytes, and the text alternative."""

    name: str
    data: bytes
    says: str


def picture(name):
    """The picture of a panel as it opens in its lesson."""
    panel = open_panel(name)
    shown = panel.picture.value
    panel.close()
    if png := re.search(r'<img alt="([^"]+)"[^>]*src="data:image/png;base64,([^"]+)"', shown):
        return Picture(f"{name}.png", base64.b64decode(png[2]), png[1])
    svg = re.search(r'<svg role="img" aria-label="([^"]+)".*</svg>', shown, re.S)
    drawn = svg[0] if "xmlns=" in svg[0] else svg[0].replace("<svg ", '<svg xmlns="http://www.w3.org/2000/svg" ', 1)
    return Picture(f"{name}.svg", f"{drawn}\n".encode(), svg[1])


if __name__ == "__main__":
    FOLDER.mkdir(exist_ok=True)
    for made in map(picture, PANELS):
        (FOLDER / made.name).write_bytes(made.data)
        print(f"![{made.says}](pictures/{made.name})")
