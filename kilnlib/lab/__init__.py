"""What brings the workbook to life: JupyterLab's settings, a very small extension, the list of our notebooks."""
