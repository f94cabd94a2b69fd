"""The lines under a lesson’s title."""

TEXT = {
    "lesson.ready": "Ready. Sliders answer the mouse, the arrow keys and typed numbers.",
    "lesson.kiln": "Your kiln: {name}, {altitude}. The lessons are worked at Tamarack Ford, 900 ft.",
    "lesson.example": "Your kiln: {name}, {altitude}. It is the example that the lessons are worked at.",
    "lesson.defer": "This workbook teaches. It does not control a kiln, and it does not replace your site’s rules, "
    "local codes or licensed people.",
}
