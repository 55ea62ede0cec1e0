"""The screens in a browser: who may open one, and the processes behind the pages."""
