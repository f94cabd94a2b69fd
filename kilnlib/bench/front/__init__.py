"""The pages that are no lesson: the first page, first aid for a charge, and the words of the trade."""
