"""The one place where core, bracketing, evidence, hints, journey and store meet. No terminal."""
