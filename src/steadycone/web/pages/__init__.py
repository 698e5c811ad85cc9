"""One file a subject. Each has PAGES, the lines it adds to the table in app.py."""
