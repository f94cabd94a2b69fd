"""The screens of a workshop, and their printed page."""
