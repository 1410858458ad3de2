"""Items of the worksheet catheter-sizing."""
