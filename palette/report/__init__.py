"""What a command answers, as text for people and as JSON for programs: one file a command."""
