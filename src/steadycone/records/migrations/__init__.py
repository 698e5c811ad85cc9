"""How a store made by an earlier version becomes one of this version. Alembic runs these, on both engines."""
