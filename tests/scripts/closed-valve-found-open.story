# The feints valve says in hearts that it is open, and takes its part of them. People are called; a path is open, so nothing trips.

0:05  drive feints-valve reports 1
      expect alarm drive-mismatch within 20 s
      expect heat on for 30 s
      expect receiver hearts open
1:00  drive feints-valve moves
      expect alarm drive-mismatch returned-unacknowledged within 20 s
