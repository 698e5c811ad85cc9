"""The set-up card. Read make.py first: the job in a lead hand's order."""
