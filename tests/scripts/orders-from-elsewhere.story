# From the kitchen table one can make it safer, not less safe.
alone: link, power

0:05  order hold remote
      expect heat off within 2 s
      order resume remote -> refused remote
      order attend remote -> refused remote
      order shelve product-warm:product-temp remote -> refused remote
      order acknowledge remote
      order abort remote
      expect state aborted
      expect heat off for 1 min
      expect coolant on
