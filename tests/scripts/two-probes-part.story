# Two probes in one well, 3 K apart. Nothing tells which of them is right.
still: twin-pot

0:05  second-vapour-temp rises 1 K/min until 85
      expect alarm probes-disagree within 5 min
      expect cuts suspended within 5 s
      expect state held within 90 s
