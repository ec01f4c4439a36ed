"""Picture files to linear light: decode, orientation, profiles, regions, stills from video, copies."""
