# The heads valve sticks open. Hearts are not entered: heads would run into them.
begin: heads

0:05  drive heads-valve sticks
      order cut
      expect heat off within 40 s
      expect trip receiver-stuck
      expect receiver hearts closed within 5 s
      expect receiver heads open
