"""A cohort's folder: roster, releases, hand-ins received and collected."""
