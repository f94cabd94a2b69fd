"""The picture of a sample sheet: moisture content of every board against days, and the fastest board of each day."""

import math

from kilnlib.bench.desk.sheet.parsing import shorter
from kilnlib.bench.kit.chart import BLUE, FAINT, GREEN, INK, RUST, SOFT, Chart, style
from kilnlib.units import DAY_S
from kilnlib.words import text

COLORS = (BLUE, RUST, GREEN)
LINES = ("-", "--", ":", "-.")
MARKERS = ("o", "s", "^", "D", "v", "P", "X", "*")
LABEL_PX = 17  # height of a line of labels
BELOW = 1.5  # lines of labels that may stand below the axis
NAME_LIMIT = 9
NAME_PX = 18  # from the end of the curves to their names
MARK_PX = 9  # half of the mark of a weight in doubt
FOOT_PX, LOWER_PX, BETWEEN_PX, HEAD_PX = 46, 52, 36, 26  # from the lower edge upward, without the curves


class SheetChart:
    """One picture that stays; `html(sheet, …)` and `png(sheet, …)` draw a sheet into it."""

    def __init__(self, width_px=640, height_px=400):
        self.chart = Chart(width_px, height_px)
        with style():
            below = FOOT_PX + LOWER_PX + BETWEEN_PX
            shares = [px / height_px for px in (FOOT_PX, LOWER_PX, below, height_px - below - HEAD_PX)]
            self.lower = self.chart.axes(0.075, shares[0], 0.735, shares[1])
            self.upper = self.chart.axes(0.075, shares[2], 0.735, shares[3])
            self._build()
        self._limits = None
        self._boards = []

    def html(self, sheet, limit, at, alt):
        """The picture as an image element with a text alternative; `at` is a time to mark, or None."""
        self._draw(sheet, limit, at)
        return self.chart.html(alt)

    def png(self, sheet, limit):
        """The picture as PNG bytes."""
        self._draw(sheet, limit, None)
        return self.chart.png()

    def _build(self):
        move = self.chart.moving
        self.upper.set_title(text("sheet.chart_mc"), loc="left", x=-0.09)
        self.lower.set_title(text("sheet.chart_fastest"), loc="left", x=-0.09, pad=9)
        self.upper.grid(True)
        self.upper.set_xticklabels([])
        self.cursor = move(self.upper.axvline(0, color="#e6e6e6", lw=5))
        self.leaders = move(self.upper.plot([], [], color=FAINT, lw=1, clip_on=False)[0])
        self.target = move(self.upper.plot([], [], color=INK, lw=1.2, ls=(0, (6, 3)))[0])
        box = {"facecolor": "white", "edgecolor": "none", "pad": 1}
        self.target_name = move(self.upper.text(0, 0, "", va="center", bbox=box))
        self.lines, self.names = [], []
        self.doubted = move(self.upper.plot([], [], ls="", marker="$?$", color=INK, ms=10, clip_on=False)[0])
        self.controlling = move(self.upper.plot([], [], color=INK, lw=3.2)[0])
        self.bars = move(self.lower.plot([], [], color=SOFT, lw=4, solid_capstyle="butt")[0])
        self.over = move(self.lower.plot([], [], color=RUST, lw=4, solid_capstyle="butt")[0])
        self.tops = move(self.lower.plot([], [], "^", color=RUST, ms=8, clip_on=False)[0])
        self.limit = move(self.lower.plot([], [], color=RUST, lw=1.6, ls="--")[0])
        self.limit_name = move(self.lower.text(1.012, 0, "", color=RUST, va="center"))
        self.limit_name.set_transform(self.lower.get_yaxis_transform())

    def _draw(self, sheet, limit, at):
        days = sheet.days
        start = min((board.weighings[0].when for board in sheet.boards if board.weighings), default=None)
        since = [(day.when - start).total_seconds() / DAY_S for day in days]
        fastest = [(x, day.fastest[1]) for x, day in zip(since, days, strict=True) if day.fastest]
        with style():
            self._scale(sheet, since, fastest, limit)
        ends = self._curves(sheet, start)
        controlling = [day.controlling_pct for day in days]
        self.controlling.set_data(since, controlling)
        known = controlling and not math.isnan(controlling[-1])
        self._label(ends, [(controlling[-1], text("sheet.controlling_short"), INK, since[-1])] if known else [])
        right = self.upper.get_xlim()[1]
        known = sheet.target_pct is not None
        self.target.set_data([0, right] if known else [], [sheet.target_pct] * 2 if known else [])
        self.target_name.set_text(text("sheet.chart_target", target=f"{sheet.target_pct:g}") if known else "")
        self.target_name.set_position((0.01 * right, sheet.target_pct or 0))
        self.cursor.set_visible(at is not None and start is not None)
        if self.cursor.get_visible():
            self.cursor.set_xdata([(at - start).total_seconds() / DAY_S] * 2)
        self._bars(fastest, limit, right)

    def _scale(self, sheet, since, fastest, limit):
        """Axis limits in whole steps, so that they seldom change; only then is the background drawn again."""
        true = (board.mcs_pct[number] for board in sheet.boards for number in {*board.stands} - {None})
        highest = max((mc for mc in true if not math.isnan(mc)), default=80.0)
        points = max([points for _, points in fastest] + [0.0 if math.isnan(limit) else limit])
        wide = 10 if not since else 5 * math.ceil((since[-1] * 1.04 + 1) / 5)
        points = min(points, 40.0 if math.isnan(limit) else 2 * limit)  # a slip must not flatten all other days
        limits = (wide, 20 * math.ceil((highest + 2) / 20), max(2.0, math.ceil(points * 1.15)))
        if limits == self._limits:
            return
        self._limits = limits
        step = next((step for step in (1, 2, 5, 10, 20, 50, 100) if wide <= 10 * step), 100 * math.ceil(wide / 1000))
        self.upper.set_xlim(0, wide)
        self.upper.set_xticks(range(0, wide + 1, step), [])
        self.lower.set_xlim(0, wide)
        self.lower.set_xticks(range(0, wide + 1, step))
        self.upper.set_ylim(0, limits[1])
        self.upper.set_yticks(range(0, limits[1] + 1, 20 if limits[1] <= 120 else 40))
        self.lower.set_ylim(0, limits[2])
        self.lower.set_yticks([0, limits[2]])
        self.lower.set_xlabel(text("sheet.chart_days"), labelpad=1)
        self.chart.redraw_background()

    def _curves(self, sheet, start):
        """Draw every board, weights in doubt as marks; returns (last MC, name, color, last x) of each that has one."""
        while len(self.lines) < len(sheet.boards):
            n = len(self.lines)
            look = {"color": COLORS[n % 3], "ls": LINES[n % 4], "marker": MARKERS[n % 8]}
            self.lines.append(
                self.chart.moving(self.upper.plot([], [], lw=1.4, ms=5.5, mec="white", mew=0.5, **look)[0])
            )
        ends, doubted = [], []
        inside = MARK_PX / (self.upper.get_position().height * self.chart.height_px)  # no mark over the title
        top = self._limits[1] * (1 - inside)
        for n, drawn in enumerate(self.lines):
            board = sheet.boards[n] if n < len(sheet.boards) else None
            if board is None or not board.weighings:
                drawn.set_data([], [])
                continue
            x = [(weighing.when - start).total_seconds() / DAY_S for weighing in board.weighings]
            true = [number for number in dict.fromkeys(board.stands) if number is not None]
            drawn.set_data([x[number] for number in true], [board.mcs_pct[number] for number in true])
            drawn.set_markevery(max(1, len(x) // 8))
            for number in set(range(len(x))).difference(true):
                doubted.append((x[number], min(max(board.mcs_pct[number], 0), top)))
            if true and not math.isnan(board.mcs_pct[true[-1]]):
                ends.append((board.mcs_pct[true[-1]], board.name, drawn.get_color(), x[true[-1]]))
        self.doubted.set_data([x for x, _ in doubted], [mc for _, mc in doubted])
        return ends

    def _label(self, ends, controlling):
        """Names beside the ends of the curves, none over another; near ones share a line if they must."""
        bottom, top = self.upper.get_ylim()
        high_px = self.upper.get_position().height * self.chart.height_px
        room = int(high_px / LABEL_PX) - 1
        share = max(1, math.ceil(len(ends) / room))
        ends = sorted(ends, reverse=True)
        groups = [ends[n : n + share] for n in range(0, len(ends), share)] + [[end] for end in controlling]
        groups.sort(key=lambda group: -sum(mc for mc, *_ in group) / len(group))
        heights = self._apart([sum(mc for mc, *_ in group) / len(group) for group in groups], bottom, top, high_px)
        px = self.upper.get_xlim()[1] / (self.upper.get_position().width * self.chart.width_px)
        right, x, y = max((last for *_, last in (*ends, *controlling)), default=0) + NAME_PX * px, [], []
        for n, name in enumerate(self._names(len(groups))):
            name.set_visible(n < len(groups))
            if n >= len(groups):
                continue
            bold = groups[n] == controlling
            words = (label if bold else shorter(label, max(3, NAME_LIMIT // share)) for _, label, *_ in groups[n])
            name.set_text(", ".join(words))
            name.set_position((right, heights[n]))
            name.set_color(groups[n][0][2] if len(groups[n]) == 1 else INK)
            name.set_fontweight("bold" if bold else "normal")
            for mc, _, _, last in groups[n]:
                x += [last, right - 3 * px, math.nan]
                y += [max(mc, bottom), heights[n], math.nan]
        self.leaders.set_data(x, y)

    @staticmethod
    def _apart(heights, bottom, top, high_px):
        """Heights, from the top down, moved so far that a line of words fits between any two."""
        gap = LABEL_PX * (top - bottom) / high_px
        down, up = list(heights), list(heights)
        for n in range(1, len(heights)):
            down[n] = min(down[n], down[n - 1] - gap)
            up[-1 - n] = max(up[-1 - n], up[-n] + gap)
        heights = [(low + high) / 2 for low, high in zip(down, up, strict=True)]  # in order, and a line apart
        for n in range(len(heights)):
            heights[n] = min(heights[n], heights[n - 1] - gap if n else top)
        for n in reversed(range(len(heights))):
            heights[n] = max(heights[n], heights[n + 1] + gap if n + 1 < len(heights) else bottom - BELOW * gap)
        return heights

    def _names(self, count):
        """At least so many name artists."""
        plate = {"facecolor": "white", "edgecolor": "none", "pad": 0.5}  # the line of the target may run there
        with style():
            while len(self.names) < count:
                self.names.append(self.chart.moving(self.upper.text(0, 0, "", va="center", bbox=plate)))
        return self.names

    def _bars(self, fastest, limit, right):
        """The fastest board of each day; a day over the limit has another color and a mark on top."""
        over = [] if math.isnan(limit) else [pair for pair in fastest if pair[1] > limit + 1e-9]
        within = [pair for pair in fastest if pair not in over]
        for drawn, pairs in ((self.bars, within), (self.over, over)):
            drawn.set_data(
                [x for pair in pairs for x in (pair[0], pair[0], math.nan)],
                [y for pair in pairs for y in (0, min(max(pair[1], 0), self._limits[2]), math.nan)],
            )
        self.tops.set_data([x for x, _ in over], [min(y, self._limits[2]) for _, y in over])
        known = not math.isnan(limit)
        self.limit.set_data([0, right] if known else [], [limit] * 2 if known else [])
        words = text("sheet.chart_over" if over else "sheet.chart_limit", limit=f"{limit:g}")
        self.limit_name.set_text(words if known else "")
        self.limit_name.set_y(limit if known else 0)
