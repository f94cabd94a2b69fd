"""Why the record could not be written, by SQLite's number of the reason; the sentences are in `error`."""

TEXT = {
    "record.why.3": "you have no right to write there",
    "record.why.5": "another page was writing for too long",
    "record.why.6": "another page was writing for too long",
    "record.why.8": "it may only be read",
    "record.why.10": "the disk did not take it",
    "record.why.11": "the file is damaged",
    "record.why.13": "the disk is full",
    "record.why.14": "the file could not be opened",
    "record.why.26": "the file is no record",
    "record.why.other": "the file did not take it",
    "record.left": "This is as you left it on {day}. Reset brings back the opening state.",
    "record.answered": "You answered this on {day}.",
    "record.tried": "You tried this on {day}. Go on from here.",
    "record.again": "Try again",
    "record.again_tip": "Empty the box and answer this question once more",
}
