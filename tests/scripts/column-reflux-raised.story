# The distiller raises the reflux: the boiler climbs a little, the head cools by 3 K. No dry boil is cried.
still: column
alone: link, power, acknowledge, silenced

0:05  vapour-temp falls 0.5 K/min until 76.8
      boiler-temp rises 0.2 K/min
      expect no trip for 10 min
      expect heat on
