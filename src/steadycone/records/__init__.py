"""What happened, kept so that it can be trusted: events that are added and never changed, and what is true now derived from them."""
