"""The trainer's page: the class, what the hands did, a report to print, and the record as a file."""
