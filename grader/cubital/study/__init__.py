"""`cubital study` and `open`: a learner's folder, working copies kept and replaced, the JupyterLab
beneath, who may reach it, which of two ways shows the course, what was changed put back."""
