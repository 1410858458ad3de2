"""Items of the worksheet one-patient."""
