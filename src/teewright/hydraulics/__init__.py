"""Part-full pipes, bypass bores and thin gaps."""
