"""A second judge of the whole card, written from the contract and the trade, that calls nothing of the program it judges."""
