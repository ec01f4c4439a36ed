"""Every sentence for people; one file a language."""
