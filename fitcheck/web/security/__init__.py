"""Who may ask the bench page what: host, origin, token, session, passphrase, sizes and times."""
