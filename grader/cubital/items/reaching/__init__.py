"""Items of the worksheet reaching-the-vein."""
