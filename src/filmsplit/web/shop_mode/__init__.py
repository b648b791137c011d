"""Shop mode: who may use the workbench over the shop's own network, with which tablet, and what they may do."""
