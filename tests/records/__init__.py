"""The store behind a yard: its rules, its log, both engines, and bad days."""
