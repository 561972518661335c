# Eight seconds late once: worth a word.
alone: link, power

0:05  computer stands still for 8 s
      expect alarm scan-late within 2 s
      expect heat on for 1 min
