"""The computation behind the First Charge workbook: physics of kiln drying, handbook tables, the learner's bench."""

__version__ = "0.1.0"
