"""What feeds a line: gas in a cylinder, acetylene in its solvent, LPG over its liquid, and how fast each may be drawn."""
