"""README's two pictures are what the panels of the lessons show today."""

import io
import re

import matplotlib.image
import numpy as np
import pytest
from packaging.version import Version
from readme_pictures import FOLDER, PANELS, ROOT, picture

from kilnlib.lab import books

SAME_LETTERS = Version("3.11")  # an older matplotlib draws letters otherwise, by as much as a slider's small step moves
README = (ROOT / "README.md").read_text(encoding="utf-8")


def pixels(data):
    return matplotlib.image.imread(io.BytesIO(data), format="png")


@pytest.mark.parametrize("name", PANELS)
def test_a_picture_is_what_its_panel_shows(name):
    """Mended by `python tests/readme_pictures.py`, which also prints the lines for README."""
    made = picture(name)
    stored = (FOLDER / made.name).read_bytes()
    if made.name.endswith(".png"):
        now, then = pixels(made.data), pixels(stored)
        assert now.shape == then.shape
        if Version(matplotlib.__version__) >= SAME_LETTERS:
            assert np.abs(now - then).mean() < 0.002, "another matplotlib moves edges, not lines"
    else:
        assert stored == made.data
    assert f"![{made.says}](pictures/{made.name})" in README


@pytest.mark.parametrize(("name", "lesson"), PANELS.items())
def test_its_lesson_opens_that_panel(name, lesson):
    cells = books.sources(books.read(books.WORKBOOKS / f"{lesson}.ipynb"), "code")
    assert re.search(rf'^panel\("{name}"', "\n".join(cells), re.M)


def test_every_picture_of_readme_is_there_and_no_other():
    shown = re.findall(r"\]\(pictures/([^)]+)\)", README)
    assert sorted(shown) == sorted(path.name for path in FOLDER.iterdir())
    assert len(shown) == 2
