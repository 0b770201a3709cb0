//go:build !js

package gpu

// eachOff is by how many codes a unit may be off in drawing a stroke: Mesa places and
// blends as finely as 8 bits hold.
const eachOff = 0
