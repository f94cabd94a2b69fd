"""Questions of the lessons, one TOML file a lesson."""
