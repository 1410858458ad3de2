"""Items of the worksheet reading-the-vein."""
