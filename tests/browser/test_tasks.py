"""The five errands of a newcomer, lesson 00 to its end, and the next start; `tests/tasks.py` says what each is."""

from tasks import errands_and_next_start, rows

MOST = {
    "start learning": (1, 0),
    "check a setpoint": (1, 5),
    "open the workshop": (1, 0),
    "find the word depression": (1, 1),
    "continue where one stopped": (1, 0),
}  # clicks, and boxes typed into


def test_the_five_errands_and_the_next_start(chromium, start, tmp_path):
    log = errands_and_next_start(chromium, lambda home: start(home=home), tmp_path / "mill")
    print("\n".join(rows(log)))
    assert {name: (clicks, boxes) for name, clicks, boxes, _ in log} == MOST
