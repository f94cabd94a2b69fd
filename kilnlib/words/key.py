"""The answer keys."""

TEXT = {
    "key.head": "{lesson}: {count} questions, worked with their first numbers",
    "key.steps": "Worked steps",
    "key.answer": "Answer",
    "key.also": "Also right",
    "key.right": "Why",
    "key.allowed": "±{tolerance}",
    "key.wrong": "Expected wrong answers",
    "key.leaves_out": "leaves something out",
    "key.says": "a wrong way",
    "key.general": "any other",
    "key.source": "Source",
    "key.back": "Comes back in",
    "key.kind.choice": "choose one",
    "key.kind.number": "number",
    "key.kind.chart": "number off a chart",
    "key.kind.order": "put in order",
    "key.kind.reason": "in your own words",
}
