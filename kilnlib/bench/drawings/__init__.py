"""Pictures as SVG, made by hand."""
