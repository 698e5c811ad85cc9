"""What people give us, read and checked: station, policy and chart files. Every fault comes out as one InputError."""
