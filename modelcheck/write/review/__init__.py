"""The page for the review meeting: one file that shows a report, offline."""
