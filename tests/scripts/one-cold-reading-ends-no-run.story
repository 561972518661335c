# The head is cold, the boiler is not; one reading says that it is. The run is not over until the boiler really is cold.
still: bare-pot
begin: cool-down

0:05  vapour-temp 30
      wait 5 min
      expect phase cool-down
      boiler-temp 20
      wait 1 s
      boiler-temp 85
      wait 30 s
      expect phase cool-down
      boiler-temp 30
      expect phase idle within 5 min
