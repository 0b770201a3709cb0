package gpu

// eachOff is by how many codes a unit may be off in drawing a stroke, in the browser of
// the tests. A unit may place corners by sixteenths of a pixel only (OpenGL ES 3.0
// asks for no more than 4 SUBPIXEL_BITS; from memory), and SwiftShader does: a corner is
// up to a thirty-second of a pixel off both ways, an edge up to 1/22 across a diagonal,
// which covers by 12 codes more or less. It blends in steps of its own, too, which may
// add one.
const eachOff = 13
