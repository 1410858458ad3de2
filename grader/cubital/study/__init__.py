"""Opening the course: working copies that have already run, shown in JupyterLab."""
