"""The colors of the bench, as charts, drawings and pages name them."""

INK, SOFT, FAINT = "#1b1b1b", "#5a5a5a", "#c9c9c9"
BLUE, RUST, GREEN, GHOST = "#0b5394", "#a3330b", "#2e6b1f", "#8a8a8a"
STEEL, PALE_STEEL, PALE_GRAY, DARK_WOOD = "#66717a", "#aeb6bc", "#cfd5da", "#b98d55"
