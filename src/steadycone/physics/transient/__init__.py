"""What changes while one waits: pressure over a leak test, gas in a hose being purged, air in a room."""
