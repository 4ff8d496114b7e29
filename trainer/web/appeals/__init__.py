"""Appeals and complaints: sent, taken up, answered by somebody who took no part."""
