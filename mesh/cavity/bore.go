package cavity

// hole is a place seen along z, away from the outside, where one half has no metal: a bore that
// runs out through it.
type hole struct {
	rays []int32
	// throughFixed counts the rays on which the fixed half is missing.
	throughFixed int
}

// markOutside marks the rays that miss a half and hang together with the border of the grid.
func (r *Room) markOutside() {
	// The border rays miss both halves (see Between), so one of them leads to all.
	queue := []int32{0}
	r.state[0] |= outside
	for len(queue) > 0 {
		k := int(queue[len(queue)-1])
		queue = queue[:len(queue)-1]
		r.around(k, func(n int) {
			if s := r.state[n]; s&inside != inside && s&outside == 0 {
				r.state[n] |= outside
				queue = append(queue, int32(n))
			}
		})
	}
}

// stopBores closes what runs out through a half level with its rim: the missing height is that of
// the nearest ray of the rim, counted in steps along rows and columns.
func (r *Room) stopBores() {
	var queue []int32
	for k := range r.state {
		if s := r.state[k]; s&inside == inside || s&outside != 0 || s&stopped != 0 {
			continue
		}
		h := hole{}
		r.state[k] |= stopped
		queue = append(queue[:0], int32(k))
		var rim []int32
		for len(queue) > 0 {
			m := queue[len(queue)-1]
			queue = queue[:len(queue)-1]
			h.rays = append(h.rays, m)
			if r.state[m]&metalBelow == 0 {
				h.throughFixed++
			}
			r.around(int(m), func(n int) {
				switch s := r.state[n]; {
				case s&inside != inside && s&(outside|stopped) == 0:
					r.state[n] |= stopped
					queue = append(queue, int32(n))
				case s&hasGap != 0 && s&stopped == 0:
					rim = append(rim, int32(n))
				}
			})
		}
		r.fill(rim)
		r.holes = append(r.holes, h)
	}
}

// fill gives the rays of a hole the missing heights, from the rim inwards.
func (r *Room) fill(rim []int32) {
	queue := rim
	for n := 0; n < len(queue); n++ {
		from := queue[n]
		r.around(int(from), func(k int) {
			s := r.state[k]
			if s&stopped == 0 || s&hasGap != 0 {
				return
			}
			if s&metalBelow == 0 {
				r.low[k] = r.low[from]
			}
			if s&metalAbove == 0 {
				r.high[k] = r.high[from]
			}
			// A step beside the bore may leave the stop under the metal it faces.
			r.high[k] = max(r.high[k], r.low[k])
			r.state[k] |= hasGap
			queue = append(queue, int32(k))
		})
	}
}
