package compile

import "dayloom/photon/dimmer"

// switchResponse is that of every switch: 0 is dark, 1 is full light.
var switchResponse, _ = dimmer.Linear(0, 1) // 0 to 1 is always a valid range
