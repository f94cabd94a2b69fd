"""No words of a chart lie on other words, on a mark, on a curve or on the edge of an area, in every situation."""

import itertools

import numpy as np
import pytest
from matplotlib.backends.backend_agg import FigureCanvasAgg
from matplotlib.lines import Line2D
from matplotlib.patches import Patch
from matplotlib.text import Annotation, Text

from kilnlib.bench.kit.app import App
from kilnlib.bench.kit.chart import style
from kilnlib.bench.panels import open_panel, panel_class, panel_names

CHARTS = [n for n in panel_names() if issubclass(panel_class(n), App) and panel_class(n).prepare is App.prepare]
CLEAR_PX = 1.5  # device px that boxes may share: a box is a little larger than its letters
EDGE_PX = 2  # device px between words and the edge of the picture: a letter that touches it looks cut


def seen(panel):
    """Words with their boxes, and lines and edges that they must keep off, all of them as the chart shows them."""
    figure, renderer = panel.chart.figure, panel.chart.canvas.get_renderer()
    words, strokes = list(figure.texts), []
    for axes in figure.axes:
        words += [one for one in axes.findobj(Text) if one not in ticks(axes) or one in shown_ticks(axes)]
        strokes += [one for one in axes.get_children() if isinstance(one, Line2D | Annotation)]
        strokes += [one for one in axes.patches if isinstance(one, Patch)]
    shown = [one for one in dict.fromkeys(words) if one.get_visible() and one.get_text().strip()]
    boxes = [(one, one.get_window_extent(renderer)) for one in shown]
    return boxes, [one for one in strokes if one.get_visible()]


def ticks(axes):
    """All labels of ticks that there are, shown or not."""
    if not axes.axison:
        return [one for axis in (axes.xaxis, axes.yaxis) for one in axis.findobj(Text)]
    found = [tick for axis in (axes.xaxis, axes.yaxis) for tick in axis.get_major_ticks()]
    return [label for tick in found for label in (tick.label1, tick.label2)]


def shown_ticks(axes):
    """Labels of ticks inside the axes."""
    found = []
    for axis in (axes.xaxis, axes.yaxis) if axes.axison else ():
        low, high = sorted(axis.get_view_interval())
        found += [tick.label1 for tick in axis.get_major_ticks() if low <= tick.get_loc() <= high]
    return found


def ink(panel, artist):
    """Where a line, or the edge of an area, leaves ink, as an array of the picture; areas themselves do not count."""
    canvas = FigureCanvasAgg(panel.chart.figure)
    renderer = canvas.get_renderer()
    renderer.clear()
    if isinstance(artist, Annotation):
        if artist.arrow_patch is None:
            return None
        artist.update_positions(renderer)
        artist.arrow_patch.draw(renderer)
    elif isinstance(artist, Patch):
        face, hatch = artist.get_facecolor(), artist.get_hatch()
        artist.set(facecolor="none", hatch=None)
        artist.draw(renderer)
        artist.set(facecolor=face, hatch=hatch)
    else:
        artist.draw(renderer)
    return np.asarray(canvas.buffer_rgba())[..., 3] > 60


def overlaps(panel):
    """Each pair of words that share a place, each word with the line that runs through it, each that is cut.

    A curve of a family may be broken by its own name: there `panel.names` and `panel.curves` go together.
    """
    own = dict(zip(getattr(panel, "names", ()), getattr(panel, "curves", ()), strict=True))
    with style():
        panel.chart.png()
        boxes, strokes = seen(panel)
        pictures = [(one, picture) for one in strokes if (picture := ink(panel, one)) is not None and picture.any()]
    width, height = panel.chart.canvas.get_width_height()
    outside = lambda box: (  # noqa: E731
        min(box.x0, box.y0) < EDGE_PX or box.x1 > width - EDGE_PX or box.y1 > height - EDGE_PX
    )
    found = [f"{one.get_text()!r} is cut" for one, box in boxes if outside(box)]
    for (one, a), (other, b) in itertools.combinations(boxes, 2):
        across, up = min(a.x1, b.x1) - max(a.x0, b.x0), min(a.y1, b.y1) - max(a.y0, b.y0)
        if across > CLEAR_PX and up > 2 * CLEAR_PX:
            found.append(f"{one.get_text()!r} / {other.get_text()!r}")
    for one, box in boxes:
        rows = slice(max(int(height - box.y1 + 3), 0), max(int(height - box.y0 - 3), 0))
        columns = slice(max(int(box.x0 + CLEAR_PX), 0), max(int(box.x1 - CLEAR_PX), 0))
        for artist, picture in pictures:
            if picture[rows, columns].any() and artist is not own.get(one):
                found.append(f"{one.get_text()!r} on {artist}")
    return found


@pytest.mark.parametrize("name", CHARTS)
def test_words_of_a_chart_keep_off_each_other_and_off_every_line(name):
    panel = open_panel(name)
    found = {}
    for system in ("trade", "metric"):
        panel.switch(system)
        for situation in panel.presets:
            panel.reset()
            panel.pick(situation)
            found[system, situation] = overlaps(panel)
            panel.ghost = None
            panel.set()
            found[system, situation, "no mark"] = overlaps(panel)
    panel.close()
    assert {at: what for at, what in found.items() if what} == {}


def test_an_overlap_would_be_seen():
    panel = open_panel("wood")
    size, free = panel.artists["now"]["size"], panel.artists["now"]["water_name"]
    assert overlaps(panel) == []
    x, y = size.get_position()
    free.set_position((x, y - 14))  # one hangs from its place, the other stands on it
    assert any(" / " in found for found in overlaps(panel))
    free.set_position((40, 300))  # over the rings
    assert any(" on Line2D" in found for found in overlaps(panel))
    free.set_position((500, 20))
    assert any("is cut" in found for found in overlaps(panel))
    panel.close()
