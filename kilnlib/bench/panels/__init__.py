"""One panel a file: State, compute, draw, say."""
