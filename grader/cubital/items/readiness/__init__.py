"""Items of the worksheet readiness."""
