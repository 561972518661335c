# The condenser scales up: 30 °C is a word, 40 °C takes the heat off.

0:05  product-temp rises 6 K/min until 42
      expect alarm product-warm within 4 min
      expect heat on
      expect heat off within 3 min
      expect trip product-hot
