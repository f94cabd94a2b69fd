"""The setpoint check as it is typed, drawn and said: parts of panels/setpoint_check.py."""
