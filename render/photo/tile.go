package photo

// Tile writes one tile of level k to buf, which needs 4*TileSide*TileSide
// bytes, rows from the top without gaps, and tells the tile's size: its core,
// which is TileCore a side or what is left of the level there, and a gutter on
// every side. Beyond the picture's border a gutter repeats the border's
// pixels.
func (y *Pyramid) Tile(k, column, row int, buf []byte) (width, height int) {
	l := &y.levels[k]
	left, top := column*TileCore, row*TileCore
	width = min(TileCore, l.width-left) + 2*Gutter
	height = min(TileCore, l.height-top) + 2*Gutter
	y.Cut(k, left-Gutter, top-Gutter, width, height, buf)
	return width, height
}

// Cut writes a rectangle of level k to buf, four bytes a pixel, rows from the
// top without gaps. Where the rectangle leaves the level, the nearest pixel
// of the border is repeated. Rows that Rows does not count yet are unspecified.
func (y *Pyramid) Cut(k, left, top, width, height int, buf []byte) {
	l := &y.levels[k]
	inside := min(max(left, 0), l.width-1)
	count := min(max(left+width, 1), l.width) - inside
	before := min(max(-left, 0), width-1)
	for j := range height {
		line := buf[4*width*j:][:4*width]
		source := min(max(top+j, 0), l.height-1)
		if j > 0 && source == min(max(top+j-1, 0), l.height-1) {
			copy(line, buf[4*width*(j-1):])
			continue
		}
		y.read(k, source, inside, count, line[4*before:])
		spread(line, before, before+count)
	}
}

// read writes count pixels of a row of level k, from column left, to out.
func (y *Pyramid) read(k, row, left, count int, out []byte) {
	switch l := &y.levels[k]; {
	case k < y.own:
		n := y.own - k
		line := y.picture.Pix[4*(row>>n)*y.levels[y.own].width:]
		for i := range count {
			copy(out[4*i:4*i+4], line[4*((left+i)>>n):])
		}
	case k == y.own:
		copy(out[:4*count], y.picture.Pix[4*(row*l.width+left):])
	case k == y.own+1:
		y.ownBy(2).row(row, left, count, out)
	default:
		copy(out[:4*count], l.pix[4*(row*l.width+left):])
	}
}

// spread repeats the pixel in column first to its left, and the one in column
// end-1 to its right.
func spread(line []byte, first, end int) {
	for i := range first {
		copy(line[4*i:4*i+4], line[4*first:4*first+4])
	}
	for i := end; 4*i < len(line); i++ {
		copy(line[4*i:4*i+4], line[4*(end-1):4*end])
	}
}
