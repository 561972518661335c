# The hearts valve sticks shut. The heads receiver stays open, the heat goes off.
begin: heads

0:05  drive hearts-valve sticks
      order cut
      expect heat off within 30 s
      expect trip receiver-stuck
      expect receiver heads open for 2 min
      drive hearts-valve moves
      order acknowledge
      order resume
      expect receiver hearts open within 10 min
