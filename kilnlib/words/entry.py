"""The way into a hot kiln, in one order and in one place; lessons and the README repeat it word for word (a test looks)."""

TEXT = {
    "entry.steps": "First post a second person outside and agree on a time limit; this person calls for help, cuts the power "
    "and opens the big doors, and never goes in. Switch off, lock out every energy, and try to start it. Open the doors, "
    "cool and air the kiln. Hold the small door open and try its inside release. Then go in, with a light, until the time "
    "is up. Your site’s procedure decides.",
    "entry.heat": "Heat illness begins with headache, dizziness, cramps or a wandering mind: come out, cool down, drink "
    "water. Someone who is confused or no longer sweats may have heat stroke: call for help at once.",
    "entry.space": "Your employer decides whether your kiln is a permit-required confined space (29 CFR 1910.146).",
}
