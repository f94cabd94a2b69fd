"""The working tools: the sample sheet, the setpoint check, the form of this kiln."""
