"""The sample sheet as it is typed, drawn and printed: parts of panels/sample_sheet.py."""
