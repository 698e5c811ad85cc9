"""The yard in a browser: pages over the same functions as the command line, on this machine unless told otherwise.

app.py        the table of pages, put together
page.py       one page: its path, who may, how large a body it takes
desk.py       what a page is given: site, person, rights, words, the time; and what it may answer with
guard/        who is at the door: sessions, passwords, form tokens, throttle, headers, sizes
pages/        one file a subject; each has its PAGES
templates/    their HTML; static/ the one module, the service worker, the sheet
"""
