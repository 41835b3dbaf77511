package paint

// levels is how finely a pixel can be covered: in sixteenths.
const levels = 16

// ground is what a raster paints on.
type ground interface {
	// cover lays an ink over the pixels of a row from x on, each by so many parts
	// of 255.
	cover(x, y int, parts []uint8, ink Ink)
	// span lays an ink over part of a row, deep of its height.
	span(y int, from, to, deep float32, ink Ink)
	// block lays an ink over the same part of rows from top up to bottom, their whole height.
	block(top, bottom int, from, to float32, ink Ink)
}

// canvas is a picture of at most 256 colours, kept as entries of its palette from
// the first stroke on: mixing two entries is looked up after it has been worked
// out once, and there is nothing to reduce before it is encoded. Entry 0 is
// nobody's, so that a zero in a table means "not yet".
type canvas struct {
	wide, high int
	pix        []uint8
	palette    []Ink
	entries    map[Ink]uint8           // of inks, exactly
	ink        Ink                     // the last one asked for
	last       uint8                   // its entry
	shades     [1 << 18]uint8          // of colours between inks, by six bits of each channel
	mixed      [256][levels][256]uint8 // entry over entry, by how much of it
}

// blank readies the canvas for a picture in these inks, the first being its ground.
func (c *canvas) blank(wide, high int, inks []Ink) {
	c.wide, c.high = wide, high
	if need := wide * high; cap(c.pix) < need {
		c.pix = make([]uint8, need)
	}
	c.pix = c.pix[:wide*high]
	c.palette, c.entries = append(c.palette[:0], inks[0]), map[Ink]uint8{}
	c.ink = Ink{}
	clear(c.shades[:])
	clear(c.mixed[:])
	for _, ink := range inks {
		c.entry(ink)
	}
	c.pix[0] = c.entry(inks[0])
	for n := 1; n < len(c.pix); n *= 2 {
		copy(c.pix[n:], c.pix[:n])
	}
}

// entry is the palette's entry for an ink.
func (c *canvas) entry(ink Ink) uint8 {
	if ink == c.ink {
		return c.last
	}
	e, ok := c.entries[ink]
	if !ok {
		if len(c.palette) == 256 {
			e = c.nearest(ink)
		} else {
			e = c.add(ink)
		}
		c.entries[ink] = e
	}
	c.ink, c.last = ink, e
	return e
}

func (c *canvas) add(ink Ink) uint8 {
	e := uint8(len(c.palette))
	c.palette = append(c.palette, ink)
	if k := shade(ink); c.shades[k] == 0 {
		c.shades[k] = e
	}
	return e
}

// shadeOf is the entry for a colour between inks: one that looks the same, a new
// one while there is room, or the nearest.
func (c *canvas) shadeOf(ink Ink) uint8 {
	k := shade(ink)
	if c.shades[k] == 0 {
		if len(c.palette) == 256 {
			c.shades[k] = c.nearest(ink)
		} else {
			c.add(ink)
		}
	}
	return c.shades[k]
}

// shade is a colour by six bits of each channel.
func shade(i Ink) int { return int(i.R>>2)<<12 | int(i.G>>2)<<6 | int(i.B>>2) }

func (c *canvas) nearest(ink Ink) uint8 {
	best, least := 1, 1<<30
	for e := 1; e < len(c.palette); e++ {
		p := c.palette[e]
		g := int(p.G) - int(ink.G)
		if g*g >= least {
			continue
		}
		r, b := int(p.R)-int(ink.R), int(p.B)-int(ink.B)
		if d := r*r + g*g + b*b; d < least {
			best, least = e, d
		}
	}
	return uint8(best)
}

// cover implements ground.
func (c *canvas) cover(x, y int, parts []uint8, ink Ink) {
	over := c.entry(ink)
	at := y*c.wide + x
	row := c.pix[at : at+len(parts)]
	for i, part := range parts {
		switch level := (int(part) + 8) / levels; level {
		case 0:
		case levels:
			row[i] = over
		default:
			mixed := c.mixed[over][level][row[i]]
			if mixed == 0 {
				mixed = c.mix(row[i], over, level)
			}
			row[i] = mixed
		}
	}
}

// span implements ground.
func (c *canvas) span(y int, from, to, deep float32, ink Ink) {
	over := c.entry(ink)
	row := c.pix[y*c.wide : (y+1)*c.wide]
	first, last := int(from), int(to)
	if first == last {
		c.lay(row[first:first+1], over, sixteenths((to-from)*deep))
		return
	}
	c.lay(row[first:first+1], over, sixteenths((float32(first+1)-from)*deep))
	c.lay(row[first+1:last], over, sixteenths(deep))
	if last < len(row) {
		c.lay(row[last:last+1], over, sixteenths((to-float32(last))*deep))
	}
}

// block implements ground.
func (c *canvas) block(top, bottom int, from, to float32, ink Ink) {
	over := c.entry(ink)
	first, last := int(from), int(to)
	if first == last {
		c.column(first, top, bottom, over, sixteenths(to-from))
		return
	}
	c.column(first, top, bottom, over, sixteenths(float32(first+1)-from))
	for y := top; y < bottom; y++ {
		c.lay(c.pix[y*c.wide+first+1:y*c.wide+last], over, levels)
	}
	if last < c.wide {
		c.column(last, top, bottom, over, sixteenths(to-float32(last)))
	}
}

// sixteenths is how many of them a share of a pixel is.
func sixteenths(share float32) int { return int(share*levels + 0.5) }

// lay lays level sixteenths of an entry over pixels side by side.
func (c *canvas) lay(pixels []uint8, over uint8, level int) {
	switch level {
	case 0:
	case levels:
		for i := range pixels {
			pixels[i] = over
		}
	default:
		table := &c.mixed[over][level]
		for i, under := range pixels {
			mixed := table[under]
			if mixed == 0 {
				mixed = c.mix(under, over, level)
			}
			pixels[i] = mixed
		}
	}
}

// column lays level sixteenths of an entry over pixels below each other.
func (c *canvas) column(x, top, bottom int, over uint8, level int) {
	if level == 0 {
		return
	}
	table := &c.mixed[over][level%levels]
	for at := top*c.wide + x; at < bottom*c.wide; at += c.wide {
		mixed := over
		if level < levels {
			if mixed = table[c.pix[at]]; mixed == 0 {
				mixed = c.mix(c.pix[at], over, level)
			}
		}
		c.pix[at] = mixed
	}
}

// mix works out level sixteenths of an entry over another, and keeps it.
func (c *canvas) mix(under, over uint8, level int) uint8 {
	a, b := c.palette[under], c.palette[over]
	mixed := c.shadeOf(Ink{blend(a.R, b.R, level), blend(a.G, b.G, level), blend(a.B, b.B, level), 255})
	c.mixed[over][level][under] = mixed
	return mixed
}

func blend(under, over uint8, level int) uint8 {
	return uint8((int(under)*(levels-level) + int(over)*level + levels/2) / levels)
}
