"""Physics in trade units under short names, one file an idea; every public function here may be used in expressions."""
