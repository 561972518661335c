# The arm is clogged behind the head: the vapour is there, and nothing arrives.

0:05  collected-volume sticks
      expect heat off within 9 min
      expect trip no-drip
