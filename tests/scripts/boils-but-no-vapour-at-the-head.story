# The gasket of the head blows: the boiler boils, the head stays cold.
begin: heat-up

0:05  vapour-temp 30
      expect heat off within 1.4 h
      expect trip no-vapour
