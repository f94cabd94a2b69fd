"""The trainer's page: the class, what was signed off at the kiln, a report to print, and the record as a file."""
