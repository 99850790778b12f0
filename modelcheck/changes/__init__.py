"""What changed between the results of two checks: rows in, records out."""
