# The vapour probe sees little, the parrot much: 72 to 60 % vol in a minute.
alone: link, power

0:05  parrot-strength falls 0.15 /min until 0.6
      expect alarm puking within 3 min
      expect heat at most 40 %
