"""What happens when: faults that nobody may show live, worked out on the user's own station. One file a name."""
