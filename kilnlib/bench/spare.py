"""What a kernel loads while nobody waits for it, so that the page that takes it is alive at once."""

from functools import partial

PIECE_S = 0.01  # between two pieces: a page that comes meanwhile is answered first


def warm_by_and_by(then=lambda: None):
    """Load all that a page needs, piece by piece, once the kernel is up; a page that takes it does not wait."""
    from tornado.ioloop import IOLoop

    _go_on(IOLoop.current(), pieces(), then)


def pieces():
    """Every panel and every question, and a first picture, which loads the fonts of the charts: each a function.

    Not the trainer's page: no learner opens it, and the tables it works with take 20 MB of each kernel.
    """
    from kilnlib.bench.panels import panel_class, panel_names
    from kilnlib.questions import bank, calculator

    yield _import_the_rest
    yield calculator.known
    yield from (partial(bank.questions, lesson) for lesson in bank.lessons())
    yield from (partial(panel_class, name) for name in panel_names() if name != "trainer")
    yield _draw


def _go_on(loop, rest, then):
    from kilnlib.bench.kit import memory

    piece = None if memory.is_open() else next(rest, None)
    if piece is None:
        then()
    else:
        piece()
        loop.call_later(PIECE_S, partial(_go_on, loop, rest, then))


def _import_the_rest():
    from kilnlib.bench.front import glossary, home  # noqa: F401
    from kilnlib.bench.kit import lesson_lines  # noqa: F401
    from kilnlib.questions import validation  # noqa: F401


def _draw():
    from kilnlib.bench.kit.chart import Chart, style

    with style():
        chart = Chart()
        chart.axes(0.1, 0.1, 0.8, 0.8).set(title="Wood", xlabel="Day", ylabel="%")
        chart.png()
