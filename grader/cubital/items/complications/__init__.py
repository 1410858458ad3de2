"""Items of the worksheet complications."""
