"""Rounds that come over the web: `made` gives the plan a round was begun with, `deliver` keeps and folds answers, `finish` records."""
