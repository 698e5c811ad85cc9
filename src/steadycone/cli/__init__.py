"""The command line: parse, call, render. The clock is read here."""
