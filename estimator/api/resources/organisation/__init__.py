"""What an organisation runs by itself over HTTP: keys, policy, and its audit log."""
