"""Steps chosen from data/procedures and filled with a station's figures."""
