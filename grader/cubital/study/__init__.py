"""`cubital study` and `open`: a learner's folder, working copies kept and replaced, the JupyterLab
that opens them, who may reach it, kernels, pages that have already run, links and Back."""
