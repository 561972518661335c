# A thick crust, or half the element in the air: its skin stands 40 K above the liquid, far below its own limit.

0:05  element-temp rises 0.5 K/s until 128
      expect alarm scorching within 80 s
      expect heat at most 40 %
      expect heat off within 40 s
      expect trip element-bare
      expect state held
