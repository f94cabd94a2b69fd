"""The pages that are no lesson: the first page, and the words of the trade."""
