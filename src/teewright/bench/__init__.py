"""The workbench: a project file and the steps of the job that are run on it, for every face."""
