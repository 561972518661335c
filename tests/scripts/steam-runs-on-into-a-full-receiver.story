# A steam jacket gives vapour for a quarter of an hour after it is closed. The heat goes off that much earlier.
still: steam-pot

0:05  feints-volume 29.9
      hearts-volume 22.5
      expect heat off within 20 s
      expect trip receiver-overflow within 15 s
      expect coolant on for 14 min
