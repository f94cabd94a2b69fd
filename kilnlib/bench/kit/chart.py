"""Pictures of the bench: one figure that stays, a background kept aside, a few moving artists.

A `Chart` is drawn at 1.5 times its size on screen, so that zoom and projectors stay sharp, and leaves as PNG data.
The one style of all charts lives here.
"""

import base64
import html
import io

import matplotlib
from matplotlib.backends.backend_agg import FigureCanvasAgg
from matplotlib.colors import to_rgb, to_rgba_array
from matplotlib.figure import Figure
from PIL import Image

from kilnlib.bench.kit.colors import BLUE, FAINT, GHOST, GREEN, INK, RUST, SOFT  # noqa: F401  desk/ asks for them here

SCREEN_DPI = 96
SHARPNESS = 1.5
STYLE = {
    "font.family": "DejaVu Sans",
    "font.size": 12,
    "axes.labelsize": 12,
    "axes.titlesize": 12,
    "xtick.labelsize": 12,
    "ytick.labelsize": 12,
    "axes.edgecolor": SOFT,
    "axes.labelcolor": INK,
    "axes.spines.top": False,
    "axes.spines.right": False,
    "xtick.color": SOFT,
    "ytick.color": SOFT,
    "text.color": INK,
    "axes.axisbelow": True,
    "grid.color": "#ececec",
    "figure.facecolor": "white",
}


def style():
    """The common style, for as long as the block lasts: build and label charts inside it."""
    return matplotlib.rc_context(STYLE)


class Chart:
    """A picture of fixed size (screen px) with moving artists."""

    def __init__(self, width_px=640, height_px=400):
        self.width_px, self.height_px = width_px, height_px
        self.figure = Figure(figsize=(width_px / SCREEN_DPI, height_px / SCREEN_DPI), dpi=SCREEN_DPI * SHARPNESS)
        self.canvas = FigureCanvasAgg(self.figure)
        self._moving, self._seldom = [], []
        self._still = self._layer = self._palette = None

    def axes(self, left, bottom, width, height):
        """Axes at a fixed place, in fractions of the picture, in the common style."""
        return self.figure.add_axes((left, bottom, width, height))

    def moving(self, artist):
        """Register an artist that changes with the state; it is drawn over the still background, in this order."""
        artist.set_animated(True)
        self._moving.append(artist)
        return artist

    def seldom(self, artist):
        """Register an artist that changes now and then; it lies between the background and the moving ones."""
        artist.set_animated(True)
        self._seldom.append(artist)
        return artist

    def redraw_background(self):
        """Forget the kept background (after ticks or labels changed)."""
        self._still = self._layer = None

    def redraw_seldom(self):
        """Forget the kept layer of seldom artists (after they were changed)."""
        self._layer = None

    def png(self):
        """The picture now, as PNG bytes."""
        if self._still is None:
            with style():
                self.canvas.draw()
            self._still = self.canvas.copy_from_bbox(self.figure.bbox)
        renderer = self.canvas.get_renderer()
        if self._layer is None:
            self.canvas.restore_region(self._still)
            for artist in self._seldom:
                artist.draw(renderer)
            self._layer = self.canvas.copy_from_bbox(self.figure.bbox)
        self.canvas.restore_region(self._layer)
        for artist in self._moving:
            artist.draw(renderer)
        picture = Image.frombuffer("RGBA", self.canvas.get_width_height(), self.canvas.buffer_rgba()).convert("RGB")
        if self._palette is None:
            self._palette = _palette(self.figure)
        stream = io.BytesIO()
        picture.quantize(palette=self._palette, dither=Image.Dither.NONE).save(stream, "PNG", compress_level=1)
        return stream.getvalue()

    def html(self, alt):
        """The picture as an image element that carries `alt` as its text."""
        data = base64.b64encode(self.png()).decode("ascii")
        return (
            f'<img alt="{html.escape(alt, quote=True)}" width="{self.width_px}" height="{self.height_px}" '
            f'style="max-width:100%;height:auto" src="data:image/png;base64,{data}">'
        )


def _palette(figure):
    """The colors of a figure, each fading to white as at the edges of its lines: 256 colors pack three times faster."""
    colors = {to_rgb(INK)}
    for artist in figure.findobj():
        for name in ("color", "facecolor", "edgecolor", "markerfacecolor", "markeredgecolor"):
            value = getattr(artist, f"get_{name}", lambda: "none")()
            colors |= {tuple(rgba[:3]) for rgba in to_rgba_array(value) if rgba[3] > 0}
    steps = min(40, 255 // len(colors))
    fades = [
        [1 - (1 - part) * step / steps for part in color] for color in sorted(colors) for step in range(1, steps + 1)
    ]
    fades = [color for color in fades if min(color) < 0.955]  # a lighter one would take the place of white
    palette = Image.new("P", (1, 1))
    palette.putpalette([round(255 * part) for color in [(1, 1, 1), *fades] for part in color])
    return palette
