# The heat is on and the head cools by 5 K a minute: nothing is left to boil.

0:10  vapour-temp falls 5 K/min until 60
      expect heat off within 3 min
      expect trip vapour-failing
