"""Items of the worksheet focal-geometry."""
