"""Questions of the worksheet whole-course, which join the topics."""
