"""steadycone: set up, prove and explain an oxy-fuel station."""

__version__ = "0.1.0"
