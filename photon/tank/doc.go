// Package tank adds up the light that lamps send to places in a tank of water.
package tank
