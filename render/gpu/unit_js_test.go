package gpu

// eachOff is by how many codes a unit may be off in drawing a stroke, in the browser of
// the tests: SwiftShader places by sixteenths of a pixel, where corners are put, but it
// blends in steps of its own, which adds up where strokes lie over each other.
const eachOff = 1
