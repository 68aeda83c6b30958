"""The workspace's server: thin routes over the use cases and the store, one live connection."""
