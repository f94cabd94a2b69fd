"""The computation behind the First Charge workbook: physics of kiln drying, handbook tables, and the bench a learner uses."""

__version__ = "0.1.0"
