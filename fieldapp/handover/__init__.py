"""What is handed over: labels with their square codes. Pure; no toolkit, no files, no clock."""
