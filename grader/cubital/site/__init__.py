"""`cubital site`: the course as a folder of files that runs wholly in a browser: where Python for
the browser comes from and by which sums it is taken, one archive of all that is pure Python,
what a page shows before Python is up, practices made ready, JupyterLab's parts without a server,
what the IT department is told."""
