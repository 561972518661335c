# The skin is hot, the level near the heel; neither is at its limit.

0:10  element-temp rises 0.3 K/s until 116
      boiler-level 0.185
      expect heat off within 3 min
      expect trip dry-boil-signs
