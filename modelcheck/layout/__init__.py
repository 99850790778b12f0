"""What would pass: records in, records out."""
