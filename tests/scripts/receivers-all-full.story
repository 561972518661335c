# Nowhere to go: the heat goes off while what still comes has room.

0:05  feints-volume 29.9
      hearts-volume 24.99
      expect heat off within 15 s
      expect trip receiver-overflow within 15 s
      expect receiver hearts open
      order acknowledge
      order resume -> refused trip-active
      hearts-volume 3
      wait 20 s
      order resume
      expect heat on within 10 s
