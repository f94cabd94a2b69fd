"""Files of the user's: this kiln, sample sheets, and writing a file in one step."""
