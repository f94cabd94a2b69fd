"""How a number is known."""

TEXT = {
    "how.given": "given by you",
    "how.retrieved": "read in the source or in an exact copy",
    "how.computed": "computed",
    "how.memory": "from memory",
    "how.tuned": "tuned here, and so no check of anything",
    "how.common practice": "common practice",
}
