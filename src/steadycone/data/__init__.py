"""Tables of the program: read once, never written. The core's only input and output."""
