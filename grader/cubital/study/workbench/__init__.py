"""The course in JupyterLab's own workbench, for who asks for it by `--workbench`: pages that have
already run, links and Back."""
