"""One file a revision, named by number. A revision that was released is never edited."""
