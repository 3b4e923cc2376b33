"""What a physiotherapist may type about programs, diaries and decisions, and the message they get."""
