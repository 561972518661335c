# The computer swaps for 90 s. The heat device has switched itself off; the run comes back held.
alone: link, power

0:05  computer stands still for 90 s
      expect heat off within 2 s
      expect trip scan-stopped
      expect power off for 2 min
      order acknowledge
      order resume
      expect heat on within 10 s
