"""Cells that print our numbers beside published ones."""

TEXT = {
    "handbook.head": ("what", "ours", "reference", "difference", "allowed", "source"),
    "handbook.out": "OUT",
    "handbook.inside": "Rows within the allowed difference: {total} of {total}.",
}
