"""Physics of kiln drying: pure functions, SI inside, no widgets, no pictures, no files."""
