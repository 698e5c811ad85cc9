"""Drills: questions at random from a seed, on a station or on its faults, and the marking of answers with reasons."""
