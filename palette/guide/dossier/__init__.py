"""The dossier: what each colour rests on, for whoever doubts one."""
