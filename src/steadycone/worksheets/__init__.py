"""Single sums people do on the back of an envelope. One file each; the file's name is the command's name."""
