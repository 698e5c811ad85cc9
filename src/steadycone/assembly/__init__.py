"""One setup as physics: elements in order, openings fitted to the chart row, volumes, atmosphere."""
