//go:build !js || darkroom

package photo

// mendJPEG makes a cut JPEG whole: what is missing of its last scan is filled up
// with codes that mean "no change", or the scan is left out where the ones before
// it gave the whole picture more coarsely.
func mendJPEG(_ Header, data []byte) ([]byte, mending, error) {
	var f frame
	segments(data, func(s segment) error {
		f.finish()
		return f.read(s, data[s.body:s.end])
	})
	if f.begun != nil {
		if end := scanEnd(data, f.scan.end); end >= 0 {
			f.finish()
			data = data[:end]
		}
	}
	if len(f.components) == 0 || f.sort > markerSOF2 {
		return nil, mending{}, errCut
	}
	for i := range f.components {
		if c := &f.components[i]; !c.complete {
			return f.fill(data)
		}
	}
	switch {
	case f.begun == nil && !f.layered():
		return closed(data), mending{closed: true}, nil
	case f.begun == nil:
		return closed(data), mending{coarse: true}, nil
	}
	return closed(data[:f.scan.start]), mending{coarse: true}, nil
}

// scanEnd is where a scan's data end and another segment begins, -1 where the
// file ends first.
func scanEnd(data []byte, at int) int {
	for {
		marker, found := nextMarker(data, at)
		if found < 0 || marker < markerRST0 || marker > markerRST7 {
			return found
		}
		at = found + 2
	}
}

// closed is a JPEG with the end marker behind it.
func closed(data []byte) []byte {
	return append(append(make([]byte, 0, len(data)+2), data...), 0xff, markerEOI)
}

// fill makes the scan that was begun whole.
func (f *frame) fill(data []byte) ([]byte, mending, error) {
	for i := range f.components {
		c := &f.components[i]
		begun := false
		for _, b := range f.begun {
			begun = begun || b == c
		}
		if !begun && !c.complete {
			return nil, mending{}, errCut
		}
	}
	if len(f.begun) == 0 || f.layered() && (f.first != 0 || f.before != 0) {
		return nil, mending{}, errCut
	}
	across, down := f.units()
	reader := bits{data: data, at: f.scan.end}
	done, place := 0, reader
	for ; done < across*down; done++ {
		if f.restartsBefore(done) && !reader.restart() || !f.follow(&reader) {
			break
		}
		place = reader
	}
	if done == across*down {
		return closed(data[:place.end()]), mending{closed: !f.layered(), coarse: f.layered()}, nil
	}
	whole, ok := f.complete(place.begin(), done, across*down)
	if !ok {
		return nil, mending{}, errCut
	}
	h, v := f.factors()
	columns, rows := spans(f.width, 8*f.most[0], h, across), spans(f.height, 8*f.most[1], v, down)
	lost := 0
	for n := done; n < across*down; n++ {
		lost += columns[n%across] * rows[n/across]
	}
	m := mending{share: float64(lost) / float64(f.width*f.height), missing: func(x, y int) bool {
		return y*v/f.most[1]/8*across+x*h/f.most[0]/8 >= done
	}}
	return whole, m, nil
}

// complete writes the units from done on as "no change", and the end marker.
func (f *frame) complete(w coded, done, all int) ([]byte, bool) {
	for n := done; n < all; n++ {
		if f.restartsBefore(n) {
			w.flush()
			w.out = append(w.out, 0xff, markerRST0+byte(n/f.restart-1)&7)
		}
		ok := f.each(func(dc, ac *huffman) bool { return dc.nothing(&w) && (ac == nil || ac.nothing(&w)) })
		if !ok {
			return nil, false
		}
	}
	w.flush()
	return append(w.out, 0xff, markerEOI), true
}

// spans are how many of the pixels of a side each of count units covers, which go
// to it by whole numbers: unit i begins at the first pixel p with p*h/size >= i.
func spans(side, size, h, count int) []int {
	out := make([]int, count)
	for i := range out {
		start, end := (i*size+h-1)/h, ((i+1)*size+h-1)/h
		out[i] = min(end, side) - min(start, side)
	}
	return out
}
