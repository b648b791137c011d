"""PDF pages as true ink planes: each page is rewritten once an ink, as grey, and drawn by a library."""
