"""The app as a page that a phone installs: how it is built, and what it does once it runs there."""
