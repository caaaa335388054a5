package index

import "math"

// rayNodePlain is the test of a ray against the boxes of a node: a bit for each child that is
// entered no later than limit, and the T of entry of each.
//
// The planes that a ray meets first are known from the signs of its direction, so each axis is
// two products and differences (Kay and Kajiya, "Ray Tracing Complex Scenes", SIGGRAPH 1986).
func rayNodePlain(n *node, r *boxRay, limit float32, dist *[width]float32) (mask uint32) {
	x, y, z := r.near[0]>>5&1, 2+r.near[1]>>5&1, 4+r.near[2]>>5&1
	nx, fx := &n.plane[x], &n.plane[x^1]
	ny, fy := &n.plane[y], &n.plane[y^1]
	nz, fz := &n.plane[z], &n.plane[z^1]
	for i := range width {
		enter, leave := r.tmin, limit
		if t := nx[i]*r.inv[0] - r.oinv[0]; t > enter {
			enter = t
		}
		if t := ny[i]*r.inv[1] - r.oinv[1]; t > enter {
			enter = t
		}
		if t := nz[i]*r.inv[2] - r.oinv[2]; t > enter {
			enter = t
		}
		if t := fx[i]*r.inv[0] - r.oinv[0]; t < leave {
			leave = t
		}
		if t := fy[i]*r.inv[1] - r.oinv[1]; t < leave {
			leave = t
		}
		if t := fz[i]*r.inv[2] - r.oinv[2]; t < leave {
			leave = t
		}
		dist[i] = enter
		if enter <= leave {
			mask |= 1 << i
		}
	}
	return mask
}

// pointNodePlain is the test of a point against the boxes of a node: a bit for each child whose
// box is no farther than the square root of limit, and the squared distance of each.
func pointNodePlain(n *node, p *[3]float32, limit float32, dist *[width]float32) (mask uint32) {
	for i := range width {
		sum := float32(0)
		for a := range 3 {
			d := max(n.plane[2*a][i]-p[a], p[a]-n.plane[2*a+1][i], 0)
			sum += d * d
		}
		dist[i] = sum
		if sum <= limit && sum < math.MaxFloat32 {
			mask |= 1 << i
		}
	}
	return mask
}
