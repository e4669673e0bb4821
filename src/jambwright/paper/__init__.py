"""What people hold: drawings and papers. Paper reads results and never computes."""
