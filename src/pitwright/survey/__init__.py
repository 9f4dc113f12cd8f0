"""What was found in one opened pit, as a person measured it: the survey file and its readers."""
