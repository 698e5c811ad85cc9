"""What several what-ifs share."""
