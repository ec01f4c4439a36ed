"""Many samples to one colour a part: the order of correcting, what each source says, and how they agree."""
