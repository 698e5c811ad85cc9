"""The trade's rules, one module a theme: figures and setup in, findings out. No sentences here: see data/findings.toml."""
