"""The lines under the title of a notebook: ready, which kiln is this one, and what this workbook is not."""

import ipywidgets as widgets

from kilnlib import units
from kilnlib.bench.kit.memory import open_page
from kilnlib.bench.kit.screen import View, line
from kilnlib.errors import sentence
from kilnlib.store.kiln import ThisKiln, load_with_problem
from kilnlib.words import text


class LessonLines(View):
    """The lines of one notebook; after a save of this kiln's numbers they name it as it is called now."""

    def __init__(self, name):
        super().__init__()
        self.name = name
        self.of_the_page = [sentence(said) for said in open_page(name)]
        self.lines = widgets.HTML()
        self.view = self.framed(self.lines)
        self.kiln_saved()

    def kiln_saved(self):
        """Read this kiln's file and say it."""
        kiln, problem = load_with_problem()
        altitude = units.show(kiln.altitude_m, "altitude")
        own = "kiln" if kiln != ThisKiln() else "example"
        said = [text(f"lesson.{own}", name=kiln.name, altitude=altitude), text("lesson.defer")]
        if problem:
            said.insert(0, sentence(problem))
        if not self.name.startswith("desk_"):  # a desk tool has no sliders
            said.insert(0, text("lesson.ready"))
        self.lines.value = "".join(line(words) for words in said + self.of_the_page)
