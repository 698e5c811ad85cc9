"""Physics: floats in, floats out; SI, absolute pressure, kelvin. Knows no trade rule."""
