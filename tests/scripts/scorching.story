# Fruit pulp bakes onto the element, slowly. Less heat is enough, and it comes back when the skin has cooled.
alone: link, power

0:05  expect heat about 80 %
      element-temp rises 6 K/min until 115
      expect alarm scorching within 6 min
      expect heat about 40 %
      expect state running
      element-temp 98
      expect no alarm scorching within 45 s
      expect heat about 80 % within 5 s
