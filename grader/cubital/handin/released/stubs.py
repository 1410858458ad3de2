"""What stands in a learner's worksheet where the educator's has the solution."""

CODE_STUB = 'raise NotImplementedError("replace this line")'
TEXT_STUB = "*Your text is placed here when you hand in.*"
