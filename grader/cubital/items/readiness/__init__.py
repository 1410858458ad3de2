"""Questions of the worksheet readiness: before use, batteries, stored pictures, light at the eye,
when not to use it."""
