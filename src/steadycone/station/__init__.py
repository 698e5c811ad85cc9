"""The nouns of a station, as its owner wrote them: gauge pressures stay gauge, text stays beside the value."""
