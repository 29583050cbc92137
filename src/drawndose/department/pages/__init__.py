"""The pages that keep records: sign-in, board, sheet, shelf, patients, records, policy, people."""
