"""The learner's page: its scripts, put together for JupyterLab, and the kernel that is started
ahead."""
