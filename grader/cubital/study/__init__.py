"""`cubital study` and `open`: a learner's folder, working copies kept and replaced, what comes from
the site where there is one, the JupyterLab beneath, who may reach it, which of two ways shows the
course, what was changed put back."""
