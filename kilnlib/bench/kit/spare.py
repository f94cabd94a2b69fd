"""What a kernel loads while nobody waits for it, so that the page that takes it is alive at once."""

from kilnlib.bench.front import glossary, home  # noqa: F401
from kilnlib.bench.kit import lesson_lines  # noqa: F401
from kilnlib.bench.kit.chart import Chart, style
from kilnlib.bench.panels import panel_class, panel_names
from kilnlib.questions import validation  # noqa: F401
from kilnlib.questions.bank import all_questions


def warm():
    """Load every panel and every question, and draw once: that finds the letters of the charts."""
    for name in panel_names():
        panel_class(name)
    all_questions()
    with style():
        chart = Chart()
        chart.axes(0.1, 0.1, 0.8, 0.8).set(title="Wood", xlabel="Day", ylabel="%")
        chart.png()
