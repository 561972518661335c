# It boils at 79 °C: far more than the 40 % vol that may be charged.
begin: heads
alone: link, power

0:10  boiler-temp falls 30 K/min until 79.5
      expect alarm charge-strong within 2 min
      expect state running
