"""What a visit leaves behind: found and left, the report, the dates that follow, the history."""
