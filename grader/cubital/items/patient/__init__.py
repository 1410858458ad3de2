"""Questions of the worksheet one-patient, and how each choice for the lesson's patient is judged,
in its figures too."""
